import { parse } from 'csv-parse/sync'
import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { type CsvForm, DEFAULT_CSV_LIMITS } from '../../src/shell/intake/csv-form.ts'
import type { CsvRow } from '../../src/shell/intake/csv-row-reader.ts'
import { csvRows } from '../../src/shell/intake/csv-rows.ts'

const LIMITS = { ...DEFAULT_CSV_LIMITS, rowBytes: 400, fieldLength: 60, columns: 8, rows: 40 }

async function read(
  chunks: readonly Uint8Array[],
  form: CsvForm,
  limits = LIMITS,
): Promise<readonly CsvRow[]> {
  const rows: CsvRow[] = []
  async function* bytes() {
    yield* chunks
  }
  for await (const row of csvRows(bytes(), form, limits)) rows.push(row)
  return rows
}

/** The bytes cut at some of their places. */
function cut(bytes: Uint8Array, places: readonly number[]): readonly Uint8Array[] {
  const at = [
    0,
    ...places.map((place) => place % (bytes.length + 1)).sort((one, two) => one - two),
    bytes.length,
  ]
  return at.slice(1).map((end, index) => bytes.subarray(at[index], end))
}

const forms = fc.record({
  delimiter: fc.constantFrom(',' as const, ';' as const, '\t' as const),
  encoding: fc.constantFrom(
    'utf-8' as const,
    'windows-1252' as const,
    'iso-8859-1' as const,
    'utf-16le' as const,
  ),
  columns: fc.constantFrom([], ['a'], ['a', 'b']),
})
const places = fc.array(fc.nat(), { maxLength: 6 })
const signs = [
  'a',
  'b',
  '1',
  ' ',
  '"',
  '""',
  ';',
  ',',
  '\t',
  '\n',
  '\r\n',
  '\r',
  'ä',
  '\u0000',
  '\ufeff',
  '😀',
]
const likeCsv = fc
  .array(fc.constantFrom(...signs), { maxLength: 200 })
  .map((parts) => Buffer.from(parts.join('')))
const headed = likeCsv.map((bytes) => Buffer.concat([Buffer.from('a;b\n'), bytes]))
const anyBytes = fc.oneof(likeCsv, headed, fc.uint8Array({ maxLength: 600 }))

describe('whatever bytes come as CSV', () => {
  it('are read to an end without a throw, the same however they were cut', async () => {
    await fc.assert(
      fc.asyncProperty(anyBytes, places, forms, async (bytes, at, form) => {
        const whole = await read([bytes], form)
        expect(await read(cut(bytes, at), form)).toEqual(whole)
        const kinds = whole.map(({ kind }) => kind)
        expect(kinds.slice(0, -1)).not.toContain('ended')
      }),
      { numRuns: 800 },
    )
  })

  it('give rows whose lines rise, and whose texts stand in the file as they are told', async () => {
    await fc.assert(
      fc.asyncProperty(headed, async (bytes) => {
        const lines = bytes
          .toString()
          .replace(/^\ufeff/, '')
          .split('\n')
        let last = 1
        for (const row of await read([bytes], { delimiter: ';', columns: ['a'] })) {
          if (row.kind === 'ended') continue
          const { line = 0, text } = row.kind === 'row' ? row.row : row.sources[0]
          expect(line).toBeGreaterThan(last)
          expect(
            lines
              .slice(line - 1)
              .join('\n')
              .startsWith(text),
          ).toBe(true)
          last = line
        }
      }),
      { numRuns: 1000 },
    )
  })

  it('agree with a strict reading of the whole by csv-parse, where that accepts it; else something is refused', async () => {
    const limits = { rowBytes: 10_000, fieldLength: 10_000, columns: 100, rows: 10_000 }
    const parts = fc.array(fc.constantFrom('a', '1', ' ', '"', '""', '";"', ';', '\n', '\r\n', '\n"', 'ä'), {
      maxLength: 60,
    })
    let accepted = 0
    await fc.assert(
      fc.asyncProperty(parts, async (pieces) => {
        const text = `a;b\n${pieces.join('')}`
        const rows = await read([Buffer.from(text)], { delimiter: ';', columns: ['a', 'b'] }, limits)
        const whole = strictly(text)
        if (whole === undefined) {
          expect(rows.some(({ kind }) => kind !== 'row')).toBe(true)
          return
        }
        accepted += 1
        expect(rows.map(fieldsOf)).toEqual(
          whole.slice(1).filter((fields) => fields.some((field) => field !== '')),
        )
      }),
      { numRuns: 2000 },
    )
    expect(accepted).toBeGreaterThan(200)
  })
})

function strictly(text: string): readonly string[][] | undefined {
  try {
    return parse(text, { delimiter: ';', record_delimiter: ['\r\n', '\n'], relax_column_count: true })
  } catch {
    return undefined
  }
}

function fieldsOf(row: CsvRow): unknown {
  if (row.kind === 'row') return Object.values(row.row.value as object)
  return row.kind === 'refused' ? row.sources[0].value : row.issues
}
