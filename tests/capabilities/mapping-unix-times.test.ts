/** Sources that count from 1970 in place of writing a date come in by a mapping file alone. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ask, linesOf } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

const session = {
  setting: { constant: 'home' },
  unit: { constant: 'mmHg' },
  entry: { constant: 'transferred' },
}

/** A tide gauge’s app: milliseconds, as JSON numbers. */
const TIDE = {
  name: 'tide-lines',
  title: 'Lines of a tide gauge’s app',
  input: { format: 'json' },
  kinds: [
    {
      name: 'line',
      session: { ...session, subject: { from: '$.who', required: true } },
      reading: {
        takenAt: { from: '$.t', time: 'Unix milliseconds', required: true },
        systolic: { from: '$.v.s', required: true },
        diastolic: { from: '$.v.d', required: true },
      },
    },
  ],
}

/** A sand glass’s table: seconds, as text. */
const SAND = {
  name: 'sand-table',
  title: 'A table of a sand glass',
  input: { format: 'csv', delimiter: ',' },
  kinds: [
    {
      name: 'row',
      session: { ...session, subject: { column: 'who', required: true } },
      reading: {
        takenAt: { column: 'grains', time: 'Unix seconds', required: true },
        systolic: { column: 'upper', number: { decimalMark: '.' }, required: true },
        diastolic: { column: 'lower', number: { decimalMark: '.' }, required: true },
      },
    },
  ],
}

let folder: string
let door: OpenDoor
beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'mappings-'))
  for (const mapping of [TIDE, SAND])
    writeFileSync(join(folder, `${mapping.name}.json`), JSON.stringify(mapping, null, 2))
  door = await openDoor({ settings: { mappingsFolder: folder } })
})
afterAll(async () => {
  await door.close()
  rmSync(folder, { recursive: true })
})

const send = async (mapping: string, type: string, body: string) =>
  linesOf(
    await ask(door.url, `/sessions?source=harbour-app&mapping=${mapping}`, {
      method: 'POST',
      headers: { 'Content-Type': type },
      body,
    }),
  )
const record = async (id: unknown) =>
  ((await ask(door.url, `/sessions/${String(id)}?source=harbour-app`)).json as { record: object }).record

const line = (t: unknown) => `${JSON.stringify({ who: 'HW-1003', t, v: { s: 131, d: 84 } })}\n`
const tide = (...times: readonly unknown[]) =>
  send('tide-lines', 'application/x-ndjson', times.map(line).join(''))
const sand = (...times: readonly string[]) =>
  send(
    'sand-table',
    'text/csv',
    `who,grains,upper,lower\n${times.map((t) => `HW-1003,${t},131,84\n`).join('')}`,
  )

describe('a time that is counted from 1970-01-01T00:00:00Z', () => {
  it.each([
    [1772433600000, '2026-03-02T06:40:00Z'],
    [1772433601250, '2026-03-02T06:40:01.250Z'],
    [631152000000, '1990-01-01T00:00:00Z'],
    ['1772520000000', '2026-03-03T06:40:00Z'],
  ])('in milliseconds, %j, is kept as the moment in UTC', async (t, takenAt) => {
    const [first] = await tide(t)
    expect(first).toMatchObject({ outcome: 'kept' })
    expect(await record(first?.id)).toMatchObject({ takenAt, readings: [{ takenAt }] })
  })

  it('in seconds, as the text of a column, is kept as the moment in UTC', async () => {
    const [first] = await sand('1772606400')
    expect(first).toMatchObject({ outcome: 'kept' })
    expect(await record(first?.id)).toMatchObject({ takenAt: '2026-03-04T06:40:00Z' })
  })

  it.each([
    [
      'seconds where milliseconds are declared',
      1772433600,
      'Unix milliseconds from 1990 to 2100',
      /in seconds/,
    ],
    [
      'a fraction',
      1772433600000.5,
      'a whole number of Unix milliseconds, not a number with a fraction',
      /source/,
    ],
    ['a date', '2026-03-02T06:40:00Z', 'a whole number of Unix milliseconds', /source/],
    ['nought', 0, 'Unix milliseconds from 1990 to 2100', /source/],
    ['a number beyond all dates', 1e300, 'Unix milliseconds from 1990 to 2100', /source/],
    ['a number below nought', -1, 'Unix milliseconds from 1990 to 2100', /source/],
    ['an exponent as text', '1.772e12', 'a whole number of Unix milliseconds', /source/],
  ])('%s is refused at its line', async (_what, t, expected, remedy) => {
    const [first] = await tide(t)
    expect(first).toMatchObject({
      outcome: 'refused',
      issues: [{ code: 'BAD_TIME', at: 'readings[0].takenAt', line: 1, from: "$['t']" }],
    })
    const [issue] = (first as { issues: { expected: string; remedy: string }[] }).issues
    expect(issue?.expected).toContain(expected)
    expect(issue?.remedy).toMatch(remedy)
  })

  it('is not repeated where it is refused', async () => {
    expect(JSON.stringify(await tide('17724336 ms', 1772433600))).not.toContain('17724336')
  })

  it.each([
    [
      'milliseconds where seconds are declared',
      '1772433600000',
      'Unix seconds from 1990 to 2100',
      /milliseconds/,
    ],
    ['a decimal', '1772433600.5', 'a whole number of Unix seconds', /source/],
  ])('%s is refused at its row', async (_what, t, expected, remedy) => {
    const [first] = await sand(t)
    expect(first).toMatchObject({
      outcome: 'refused',
      issues: [{ code: 'BAD_TIME', line: 2, from: 'grains' }],
    })
    const [issue] = (first as { issues: { expected: string; remedy: string }[] }).issues
    expect(issue?.expected).toContain(expected)
    expect(issue?.remedy).toMatch(remedy)
  })
})

it('a number where RFC 3339 is declared is refused with what to declare', async () => {
  const { convert } = (await import('../../src/core/mapping/convert-value.ts')).RFC_3339
  expect(convert(1772433600000)).toMatchObject({
    code: 'WRONG_TYPE',
    remedy: expect.stringContaining('Unix seconds'),
  })
})
