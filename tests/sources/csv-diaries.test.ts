/**
 * RFC 4180, Common Format and MIME Type for CSV Files (2005), section 2, and what it leaves open: it is informational, so
 * delimiter, decimal mark, order of the date, zone, unit and encoding are declared, and what does not fit is refused.
 * Clock changes: IANA time zone database, Europe/Berlin 2026-03-29 and 2026-10-25, Pacific/Apia 2011-12-30.
 */
import { describe, expect, it } from 'vitest'
import type { Mapping } from '../../src/core/mapping/mapping.ts'
import { readMapping } from '../../src/core/mapping/read-mapping.ts'
import { type ReadDiary, readDiary } from '../support/read-diary.ts'
import { shippedMappingFiles } from '../support/shipped-mapping.ts'

interface Declared {
  readonly delimiter?: string
  readonly encoding?: string
  readonly mark?: string
  readonly form?: string
  readonly zone?: string
  readonly unit?: string
  /** Columns of the time. */
  readonly columns?: readonly string[]
}

/** The mapping of the diary with one row for each reading, declared otherwise; in mmHg unless said. */
function declared(change: Declared): ReturnType<typeof readMapping> {
  const { delimiter = ';', encoding = 'utf-8', mark = ',', form = 'DD.MM.YYYY HH:mm' } = change
  const { zone = 'of-the-person', unit = 'mmHg', columns = ['Date', 'Heure'] } = change
  const files = shippedMappingFiles('diary-one-row-per-reading')
  const document = JSON.parse(files.text)
  const [{ session, reading }] = document.kinds
  document.input = { format: 'csv', delimiter, encoding }
  session.unit = { constant: unit }
  reading.takenAt = { columns, time: { form, zone }, required: true }
  for (const place of ['systolic', 'diastolic', 'pulse']) reading[place].number = { decimalMark: mark }
  return readMapping({ ...files, text: JSON.stringify(document) })
}

function mapping(change: Declared = {}): Mapping {
  const read = declared(change)
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

const HEADER = 'Personne;Date;Heure;Bras;Systolique;Diastolique;Pouls'
const ROW = 'HW-1003;02.03.2026;06:43;gauche;128;84;66'

function read(text: string | Buffer, change: Declared = {}, zone: string | undefined = 'Europe/Berlin') {
  return readDiary(Buffer.from(text), mapping(change), zone)
}

/** A diary of one row with those fields in place of the usual ones. */
function row(
  fields: Partial<Record<'date' | 'time' | 'systolic' | 'diastolic', string>>,
  change: Declared = {},
  zone?: string,
) {
  const { date = '02.03.2026', time = '06:43', systolic = '128', diastolic = '84' } = fields
  return read(
    `${HEADER}\n"HW-1003";"${date}";"${time}";"gauche";"${systolic}";"${diastolic}";66\n`,
    change,
    zone,
  )
}

function readings(diary: ReadDiary): readonly unknown[] {
  if ('file' in diary) throw new Error(JSON.stringify(diary.file))
  expect(diary.refused).toEqual([])
  return diary.sessions.flatMap(({ session }) =>
    session.readings.map(({ takenAt, systolic, diastolic, pulse }) => [
      takenAt?.text,
      systolic?.value,
      diastolic?.value,
      pulse,
    ]),
  )
}

function lineOf(issue: object): unknown {
  return 'line' in issue ? issue.line : undefined
}

function times(diary: ReadDiary): readonly unknown[] {
  return readings(diary).map((reading) => (Array.isArray(reading) ? reading[0] : undefined))
}

/** What was refused row by row; that nothing was taken beside it is part of it. */
function refused(diary: ReadDiary): readonly object[] {
  if ('file' in diary) throw new Error(JSON.stringify(diary.file))
  expect(diary.sessions).toEqual([])
  return diary.refused.map(({ code, line, from }) => ({
    code,
    line,
    ...(from === undefined ? {} : { from }),
  }))
}

function refusedFile(diary: ReadDiary): readonly object[] {
  if (!('file' in diary)) throw new Error('the file was read')
  return diary.file.map(({ code, line, from }) => ({ code, line, ...(from === undefined ? {} : { from }) }))
}

const TAKEN = [['2026-03-02T06:43:00+01:00', 128, 84, 66]]

describe('a diary is accepted', () => {
  it.each([
    ['in UTF-8', `${HEADER}\r\n${ROW}\r\n`],
    ['with a byte order mark', `\ufeff${HEADER}\r\n${ROW}\r\n`],
    ['with lines that end with LF', `${HEADER}\n${ROW}\n`],
    ['with a last line without line end', `${HEADER}\r\n${ROW}`],
    ['with a line end inside quotes', `${HEADER};Remarque\r\n${ROW};"mal\r\ndormi"\r\n`],
    [
      'with quotes around every field',
      `${HEADER}\n${ROW.split(';')
        .map((field) => `"${field}"`)
        .join(';')}`,
    ],
  ])('%s', async (_, text) => {
    expect(readings(await read(text))).toEqual(TAKEN)
  })

  it.each([',', ';', '\t'])('with the delimiter %j where it is declared', async (delimiter) => {
    const text = `${HEADER}\n${ROW}\n`.replaceAll(';', delimiter)
    expect(readings(await read(text, { delimiter }))).toEqual(TAKEN)
  })
})

describe('the delimiter', () => {
  it('that is not declared is told, with the one the file seems to have', async () => {
    const diary = await read(`${HEADER}\n${ROW}\n`.replaceAll(';', ','))
    expect(refusedFile(diary)).toEqual([{ code: 'NOT_CSV', line: 1 }])
    expect(JSON.stringify(diary)).toContain('found 1 column, did you mean a comma (,)')
  })
})

describe('a number', () => {
  it('128,5 is 128.5 where a decimal comma is declared', async () => {
    expect(readings(await row({ systolic: '128,5' }))).toMatchObject([[expect.anything(), 128.5, 84, 66]])
  })

  it('128,5 is refused where a decimal point is declared', async () => {
    expect(refused(await row({ systolic: '128,5' }, { mark: '.' }))).toEqual([
      { code: 'OUT_OF_RANGE', line: 2, from: 'Systolique' },
    ])
  })

  it.each([
    ['1.205', ','],
    ['1.205', '.'],
    ['1,205', ','],
    ['1,205', '.'],
    ['128,50', '.'],
    ['120.125', '.'],
    ['0x50', '.'],
    ['1e2', '.'],
    [' 128', '.'],
    ['128 mmHg', '.'],
    ['120/80', '.'],
  ])('%j is refused with the mark %s', async (systolic, mark) => {
    const [issue] = refused(await row({ systolic }, { mark }))
    expect(issue).toMatchObject({ line: 2, from: 'Systolique' })
  })

  it('that is empty is not nought', async () => {
    expect(refused(await row({ systolic: '' }))).toEqual([
      { code: 'MISSING_KEY', line: 2, from: 'Systolique' },
    ])
  })

  it('120/80 in one cell is refused', async () => {
    expect(refused(await row({ systolic: '120/80', diastolic: '' }))).toEqual([
      { code: 'OUT_OF_RANGE', line: 2, from: 'Systolique' },
      { code: 'MISSING_KEY', line: 2, from: 'Diastolique' },
    ])
  })
})

describe('a date', () => {
  it.each([
    ['DD/MM/YYYY HH:mm', '2026-04-03T06:43:00+02:00'],
    ['MM/DD/YYYY HH:mm', '2026-03-04T06:43:00+01:00'],
  ])('03/04/2026 is what %s says', async (form, time) => {
    expect(readings(await row({ date: '03/04/2026' }, { form }))).toMatchObject([[time, 128, 84, 66]])
  })

  it('without a declared order cannot be read: such a mapping is refused', () => {
    for (const form of ['D/M/YYYY HH:mm', 'YYYY HH:mm', 'DD/MM HH:mm']) {
      expect(declared({ form })).toMatchObject({ ok: false, issues: [{ code: 'BAD_MAPPING' }] })
    }
  })

  it('that fits with day and month exchanged only, refuses the file', async () => {
    const dates = ['03/04/2026', '05/04/2026', '13/04/2026']
    const rows = dates.map((date) => ROW.replace('02.03.2026', date)).join('\n')
    const diary = await read(`${HEADER}\n${rows}\n`, { form: 'MM/DD/YYYY HH:mm' })
    expect(refusedFile(diary)).toEqual([{ code: 'DAY_ORDER', line: 4, from: 'Date, Heure' }])
    expect(readings(await read(`${HEADER}\n${rows}\n`, { form: 'DD/MM/YYYY HH:mm' }))).toHaveLength(3)
  })

  it.each([
    ['of two digits for the year', { date: '02.03.26' }],
    ['with the name of a month', { date: '02.Mar.2026' }],
    ['as the serial number of a spreadsheet', { date: '46083' }],
    ['that does not exist', { date: '30.02.2026' }],
    ['with 24:00', { time: '24:00' }],
    ['with an hour of twelve that does not say which half', { time: '6:43' }],
    ['with seconds that are not declared', { time: '06:43:10' }],
    ['with a blank too many', { time: ' 06:43' }],
  ])('%s is refused', async (_, fields) => {
    expect(refused(await row(fields))).toMatchObject([{ code: 'BAD_TIME', line: 2 }])
  })

  it('without a time of day is refused', async () => {
    expect(refused(await row({ time: '' }))).toMatchObject([
      { code: 'MISSING_KEY', line: 2, from: 'Date, Heure' },
    ])
    expect(declared({ columns: ['Date'], form: 'DD.MM.YYYY' })).toMatchObject({ ok: false })
  })

  it('of twelve hours needs AM or PM, in the form and in the text', async () => {
    expect(declared({ form: 'DD.MM.YYYY hh:mm' })).toMatchObject({
      ok: false,
      issues: [{ code: 'BAD_MAPPING' }],
    })
    const form = 'DD.MM.YYYY hh:mm A'
    expect(refused(await row({ time: '06:43' }, { form }))).toMatchObject([{ code: 'BAD_TIME' }])
    expect(times(await row({ time: '06:43 PM' }, { form }))).toEqual(['2026-03-02T18:43:00+01:00'])
  })
})

describe('a time without offset', () => {
  it('is read by the zone of the person, and by none without it', async () => {
    expect(times(await row({}, {}, 'America/Denver'))).toEqual(['2026-03-02T06:43:00-07:00'])
    const text = `${HEADER}\n${ROW}\n`
    expect(refused(await readDiary(Buffer.from(text), mapping()))[0]).toMatchObject({
      code: 'TIME_NEEDS_OFFSET',
      line: 2,
    })
  })

  it.each([
    ['skipped', '29.03.2026', '02:30', 'Europe/Berlin', 'BAD_TIME'],
    ['showed twice', '25.10.2026', '02:30', 'Europe/Berlin', 'TIME_NEEDS_OFFSET'],
    ['skipped with the whole day', '30.12.2011', '08:00', 'Pacific/Apia', 'BAD_TIME'],
    ['skipped by half an hour', '04.10.2026', '02:15', 'Australia/Lord_Howe', 'BAD_TIME'],
  ])('that the clock %s is refused', async (_, date, time, zone, code) => {
    expect(refused(await row({ date, time }, {}, zone))[0]).toMatchObject({ code, line: 2 })
    expect(refused(await row({ date, time }, { zone }, 'UTC'))[0]).toMatchObject({ code, line: 2 })
  })

  it('and one with it, which is kept as it came', async () => {
    const change = { form: 'DD.MM.YYYY HH:mmZ', zone: 'in-the-text' }
    expect(times(await row({ date: '25.10.2026', time: '02:30+0100' }, change))).toEqual([
      '2026-10-25T02:30:00+01:00',
    ])
  })
})

describe('a header', () => {
  it('given twice refuses the file', async () => {
    expect(refusedFile(await read(`${HEADER};Pouls\n${ROW};70\n`))).toEqual([
      { code: 'DUPLICATE_KEY', line: 1, from: 'Pouls' },
    ])
  })

  it('that is missing refuses the file, with the one that is near', async () => {
    const diary = await read(`${HEADER.replace('Systolique', 'systolique ')}\n${ROW}\n`)
    expect(refusedFile(diary)).toEqual([{ code: 'MISSING_KEY', line: 1, from: 'Systolique' }])
    expect(JSON.stringify(diary)).toContain('systolique ')
  })
})

describe('a row', () => {
  it.each([
    ['too few', 'HW-1003;02.03.2026;06:43;gauche;128;84'],
    ['too many', 'HW-1003;02.03.2026;06:43;gauche;128;84;66;1'],
    ['too many, a decimal comma among delimiters', 'HW-1003;02.03.2026;06:43;gauche;128;5;84;66'],
  ])('with %s fields is refused alone', async (_, broken) => {
    const diary = await read(`${HEADER}\n${broken}\n${ROW}\n`)
    expect(diary).toMatchObject({
      refused: [{ code: 'NOT_CSV', line: 2, rule: 'RFC 4180 section 2 rule 4' }],
    })
    expect('sessions' in diary ? diary.sessions.length : 0).toBe(1)
  })

  it('with a quote that is not closed refuses the file', async () => {
    expect(refusedFile(await read(`${HEADER}\n${ROW}\n"${ROW}\n`))).toEqual([{ code: 'NOT_CSV', line: 3 }])
  })

  it('whose systolic is the lower one is refused, and not exchanged', async () => {
    expect(refused(await row({ systolic: '84', diastolic: '128' }))).toMatchObject([
      { code: 'NOT_A_MEASUREMENT', line: 2 },
    ])
  })

  it('that came twice is one reading, which is said with both lines', async () => {
    const diary = await read(`${HEADER}\n${ROW}\n${ROW}\n`)
    expect(readings(diary)).toEqual(TAKEN)
    expect(diary).toMatchObject({ remarks: [{ code: 'DUPLICATE_ROW', severity: 'information' }] })
    const told = 'remarks' in diary ? JSON.stringify(diary.remarks) : ''
    expect(told).toMatch(/\b2\b/)
    expect(told).toMatch(/\b3\b/)
  })
})

describe('a unit', () => {
  it('is the declared one, and never inferred from the size', async () => {
    const fields = { systolic: '18,8', diastolic: '10,3' }
    expect(readings(await row(fields, { unit: 'kPa' }))).toMatchObject([[expect.anything(), 18.8, 10.3, 66]])
    expect(refused(await row(fields))).toMatchObject([{ from: 'Systolique' }, { from: 'Diastolique' }])
    expect(refused(await row({}, { unit: 'kPa' }))).toMatchObject([
      { from: 'Systolique' },
      { from: 'Diastolique' },
    ])
  })
})

describe('an encoding', () => {
  it('that is not UTF-8 is refused unless it is declared', async () => {
    const text = `${HEADER};Réveil\n${ROW};tôt\n`
    const bytes = Buffer.from(text, 'latin1')
    expect(refusedFile(await read(bytes))).toEqual([{ code: 'NOT_IN_ENCODING', line: 1 }])
    for (const encoding of ['windows-1252', 'iso-8859-1']) {
      expect(readings(await read(bytes, { encoding }))).toEqual(TAKEN)
    }
    expect(readings(await read(Buffer.from(text, 'utf16le'), { encoding: 'utf-16le' }))).toEqual(TAKEN)
  })
})

describe('what is told', () => {
  it('of every faulty row at once has line and column, and never a value', async () => {
    const rows = [
      ROW.replace('128', '12B'),
      ROW.replace('128', '841'),
      ROW.replace('02.03.2026', '31.02.2026'),
      ROW.replace('gauche', 'milieu'),
      `${ROW};7`,
      ROW.replace('HW-1003', ''),
    ]
    const diary = await read(`${HEADER}\n${rows.join('\n')}\n`)
    const inOrder = refused(diary).toSorted((one, two) => Number(lineOf(one)) - Number(lineOf(two)))
    expect(inOrder).toEqual([
      { code: 'OUT_OF_RANGE', line: 2, from: 'Systolique' },
      { code: 'NOT_A_MEASUREMENT', line: 3, from: 'Systolique' },
      { code: 'BAD_TIME', line: 4, from: 'Date, Heure' },
      { code: 'NOT_A_CHOICE', line: 5, from: 'Bras' },
      { code: 'NOT_CSV', line: 6 },
      { code: 'MISSING_KEY', line: 7, from: 'Personne' },
    ])
    expect(JSON.stringify(diary)).not.toMatch(/12B|841|31\.02|milieu|HW-1003/)
  })
})
