import { describe, expect, it, vi } from 'vitest'
import { type CsvForm, DEFAULT_CSV_LIMITS } from './csv-form.ts'
import type { CsvRow } from './csv-row-reader.ts'
import { csvRows } from './csv-rows.ts'

const form: CsvForm = { delimiter: ';', columns: ['Datum', 'Oberer'] }

async function read(text: string | Buffer, at: CsvForm = form, limits = {}): Promise<readonly CsvRow[]> {
  const bytes = typeof text === 'string' ? Buffer.from(text) : text
  const rows: CsvRow[] = []
  async function* chunks() {
    yield bytes
  }
  for await (const row of csvRows(chunks(), at, { ...DEFAULT_CSV_LIMITS, ...limits })) rows.push(row)
  return rows
}

function told(rows: readonly CsvRow[]): readonly object[] {
  return rows.flatMap((row): readonly object[] =>
    row.kind === 'row'
      ? [row.row]
      : row.issues.map(({ code, line, from, rule }) => ({ kind: row.kind, code, line, from, rule })),
  )
}

describe('the rows of a CSV file', () => {
  it.each([
    ['CR LF', 'Datum;Oberer\r\na;1\r\n'],
    ['LF', 'Datum;Oberer\na;1\n'],
    ['a last line without line end', 'Datum;Oberer\r\na;1'],
    ['a byte order mark', '\ufeffDatum;Oberer\r\na;1\r\n'],
    ['quotes around everything', '"Datum";"Oberer"\r\n"a";"1"\r\n'],
  ])('are read from a file with %s', async (_, text) => {
    expect(await read(text)).toMatchObject([
      { kind: 'row', row: { value: { Datum: 'a', Oberer: '1' }, line: 2 } },
    ])
  })

  it('keep the row as it was sent, and the line it begins on', async () => {
    const rows = await read('Datum;Oberer\r\n"a\r\nb ""c""; ";1\r\n\r\n;\r\nd;2')
    expect(told(rows)).toEqual([
      { value: { Datum: 'a\r\nb "c"; ', Oberer: '1' }, text: '"a\r\nb ""c""; ";1', line: 2 },
      { value: { Datum: 'd', Oberer: '2' }, text: 'd;2', line: 6 },
    ])
  })

  it('are told in their order, the ones that cannot be read beside the ones that can', async () => {
    const rows = await read('Datum;Oberer\na;1\nb\nc;3;x\nd "4";4\n"e"5;5\n"f;6\n7";7\ng\r;8\nh;9')
    expect(told(rows)).toEqual([
      { value: { Datum: 'a', Oberer: '1' }, text: 'a;1', line: 2 },
      { kind: 'refused', code: 'NOT_CSV', line: 3, rule: 'RFC 4180 section 2 rule 4' },
      { kind: 'refused', code: 'NOT_CSV', line: 4, rule: 'RFC 4180 section 2 rule 4' },
      { kind: 'refused', code: 'NOT_CSV', line: 5, rule: 'RFC 4180 section 2 rule 5' },
      { kind: 'refused', code: 'NOT_CSV', line: 6, rule: 'RFC 4180 section 2 rule 5' },
      { value: { Datum: 'f;6\n7', Oberer: '7' }, text: '"f;6\n7";7', line: 7 },
      { kind: 'refused', code: 'NOT_CSV', line: 9, rule: 'RFC 4180 section 2 rule 5' },
      { value: { Datum: 'h', Oberer: '9' }, text: 'h;9', line: 10 },
    ])
  })

  it('keep the source of a row that is refused', async () => {
    const [row] = await read('Datum;Oberer\nb;2;"x;"')
    expect(row).toMatchObject({ sources: [{ value: ['b', '2', 'x;'], text: 'b;2;"x;"', line: 2 }] })
  })

  it('are given columns that the mapping does not need, too', async () => {
    expect(await read('Notiz;Oberer;Datum;toString\nx;1;a;y')).toMatchObject([
      { row: { value: { Notiz: 'x', Oberer: '1', Datum: 'a', toString: 'y' } } },
    ])
  })

  it('end where a quote is not closed, with the line it was opened on', async () => {
    expect(told(await read('Datum;Oberer\na;1\n"b;2\nc;3\n'))).toEqual([
      { value: { Datum: 'a', Oberer: '1' }, text: 'a;1', line: 2 },
      { kind: 'ended', code: 'NOT_CSV', line: 3, rule: 'RFC 4180 section 2 rule 5' },
    ])
  })
})

describe('the header of a CSV file', () => {
  it.each([
    ['nothing at all', '', { code: 'NOT_CSV', line: 1, rule: 'RFC 4180 section 2 rule 3' }],
    ['blank lines only', '\n\n;\n', { code: 'NOT_CSV', line: 1, rule: 'RFC 4180 section 2 rule 3' }],
    [
      'another delimiter',
      'Datum,Oberer\na,1',
      { code: 'NOT_CSV', line: 1, rule: 'RFC 4180 section 2 rule 4' },
    ],
    ['old line ends', 'Datum;Oberer\ra;1\r', { code: 'NOT_CSV', line: 1, rule: 'RFC 4180 section 2 rule 1' }],
    ['a column twice', 'Datum;Oberer;Datum\n', { code: 'DUPLICATE_KEY', line: 1, from: 'Datum' }],
    ['another column twice', 'x;Datum;Oberer;x\n', { code: 'DUPLICATE_KEY', line: 1, from: 'column 4' }],
    [
      'an empty column',
      'Datum;Oberer; \n',
      { code: 'NOT_CSV', line: 1, from: 'column 3', rule: 'RFC 4180 section 2 rule 3' },
    ],
    [
      'a dangerous column',
      '\nDatum;Oberer;__proto__\n',
      { code: 'DANGEROUS_KEY', line: 2, from: 'column 3' },
    ],
    ['a column missing', 'Datum;Puls\n', { code: 'MISSING_KEY', line: 1, from: 'Oberer' }],
  ])('ends it with %s', async (_, text, issue) => {
    expect(told(await read(text))).toEqual([{ kind: 'ended', ...issue }])
  })

  it('says which delimiter was probably meant', async () => {
    const [row] = await read('Datum,Oberer\na,1')
    expect(row).toMatchObject({
      issues: [
        {
          expected:
            'columns parted by a semicolon (;), as declared; found 1 column, did you mean a comma (,)',
        },
      ],
    })
  })

  it('says which column was probably meant, and everything else that is missing', async () => {
    const [row] = await read('datum;Ober\n')
    expect(row).toMatchObject({
      issues: [
        { from: 'Datum', remedy: expect.stringContaining('"datum"') },
        { from: 'Oberer', remedy: expect.stringContaining('"Ober"') },
      ],
    })
  })

  it('names nothing of a file whose header is a reading', async () => {
    const rows = await read('01.03.2026;132;132;84;HW-1003;\n02.03.2026;131;131;84;HW-1003;')
    expect(rows).toHaveLength(1)
    expect(JSON.stringify(rows)).not.toMatch(/132|84|2026|HW-1003/)
  })

  it('is not parted by a sign in a single column that is needed', async () => {
    expect(await read('a,b\n1', { delimiter: ';', columns: ['a,b'] })).toMatchObject([
      { row: { value: { 'a,b': '1' } } },
    ])
  })
})

describe('what one CSV file may hold', () => {
  it.each([
    [
      'a row, closed',
      'Datum;Oberer\na;1\nbbbbbbbbbbbbbbbb;2\nc;3\n',
      { rowBytes: 16 },
      { kind: 'ended', code: 'TOO_LARGE', line: 3 },
    ],
    [
      'a row of delimiters',
      `Datum;Oberer\na;1\n${';'.repeat(200_000)}`,
      {},
      { kind: 'ended', code: 'TOO_LARGE', line: 3 },
    ],
    [
      'a row without end',
      `Datum;Oberer\na;1\n${'b'.repeat(200_000)}`,
      {},
      { kind: 'ended', code: 'TOO_LARGE', line: 3 },
    ],
    [
      'a quote without end',
      `Datum;Oberer\na;1\n"${'b\n'.repeat(200_000)}`,
      {},
      { kind: 'ended', code: 'TOO_LARGE', line: 3 },
    ],
    [
      'a field',
      'Datum;Oberer\na;1\nb;22222',
      { fieldLength: 4 },
      { kind: 'refused', code: 'TOO_LARGE', line: 3, from: 'column 2' },
    ],
    ['rows', 'Datum;Oberer\na;1\n\nb;2', { rows: 1 }, { kind: 'ended', code: 'TOO_MANY', line: 3 }],
  ])('is bounded: %s', async (_, text, limits, issue) => {
    expect(
      told(await read(text, { ...form, columns: ['Datum'] }, { columns: 9, fieldLength: 9, ...limits })),
    ).toEqual([{ value: { Datum: 'a', Oberer: '1' }, text: 'a;1', line: 2 }, issue])
  })

  it('makes no error of each row that has another number of fields', async () => {
    const made = vi.spyOn(Error, 'captureStackTrace')
    try {
      await read(`Datum;Oberer\n${'\n'.repeat(100)}${'a;1;2\n'.repeat(100)}`)
      expect(made).not.toHaveBeenCalled()
    } finally {
      made.mockRestore()
    }
  })

  it('is bounded: columns', async () => {
    expect(told(await read('Datum;Oberer;x\n', form, { columns: 2 }))).toEqual([
      { kind: 'ended', code: 'TOO_MANY', line: 1 },
    ])
  })

  it('may be as much as its limits say', async () => {
    const row = `${'b'.repeat(9)};${'2'.repeat(5)}\n`
    const rows = await read(`Datum;Oberer\n${row}${row}`, form, {
      rowBytes: row.length,
      fieldLength: 9,
      rows: 2,
      columns: 2,
    })
    expect(rows.map(({ kind }) => kind)).toEqual(['row', 'row'])
  })
})

describe('the encoding of a CSV file', () => {
  const text = 'Datum;Oberer;Läuft\na;1;Ä\n'
  it.each([
    ['utf-8', Buffer.from(text)],
    ['iso-8859-1', Buffer.from(text, 'latin1')],
    ['windows-1252', Buffer.from(text, 'latin1')],
    ['utf-16le', Buffer.from(text, 'utf16le')],
    ['utf-16le', Buffer.from(`\ufeff${text}`, 'utf16le')],
  ] as const)('is read as declared: %s', async (encoding, bytes) => {
    expect(told(await read(bytes, { ...form, encoding }))).toEqual([
      { value: { Datum: 'a', Oberer: '1', Läuft: 'Ä' }, text: 'a;1;Ä', line: 2 },
    ])
  })

  it('is never guessed: what is not in the declared encoding ends the file at its line', async () => {
    const bytes = Buffer.from('Datum;Oberer\na;1\nÄ;2\n', 'latin1')
    expect(told(await read(bytes))).toEqual([
      { value: { Datum: 'a', Oberer: '1' }, text: 'a;1', line: 2 },
      { kind: 'ended', code: 'NOT_IN_ENCODING', line: 3 },
    ])
  })
})
