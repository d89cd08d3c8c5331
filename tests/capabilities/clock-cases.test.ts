/** What becomes of times that clocks get wrong: each case by a mapping that ships, to what the store holds. */
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type Outcome, receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { DEFAULT_CSV_LIMITS } from '../../src/shell/intake/csv-form.ts'
import { csvArrivals } from '../../src/shell/intake/mapped-arrivals.ts'
import { root } from '../house/source-files.ts'
import { type OpenFlows, openFlows, SOURCE } from '../support/open-flows.ts'
import { receiveValues } from '../support/through-mapping.ts'

let flows: OpenFlows
beforeEach(async () => {
  flows = await openFlows({ now: '2026-11-01T12:00:00Z' })
  await flows.enrol('HW-1001', { zone: 'Europe/Berlin' })
})
afterEach(() => flows.close())

/** A row of the diary, whose times are those of the clock where the person lives. */
async function row(date: string, time: string, subject = 'HW-1001'): Promise<readonly Outcome[]> {
  const mapping = flows.ports.catalogue.mappings.get('diary-one-row-per-reading')
  if (mapping === undefined) throw new Error('the mapping does not ship')
  const text = `Personne;Date;Heure;Systolique;Diastolique;Pouls;Bras\n${subject};${date};${time};17,5;11,2;67;gauche\n`
  async function* bytes() {
    yield Buffer.from(text)
  }
  const incoming = []
  for await (const arrival of csvArrivals(bytes(), mapping, DEFAULT_CSV_LIMITS))
    incoming.push(arrival.incoming)
  return receiveSessions(incoming, { source: SOURCE }, flows.ports)
}

/** Seven bytes of a Date Time: year (low byte first), month, day, hour, minute, second. */
const stamp = (year: number, month: number, day: number, hour: number) => [
  ...[year % 256, Math.floor(year / 256), month, day, hour, 30, 0],
]

/** An indication of a monitor: 120/80, with what its clock showed where it has one. */
function indication(clock: readonly number[] | undefined, subject = 'HW-1001'): Promise<readonly Outcome[]> {
  const octets = [clock === undefined ? 0x00 : 0x02, 120, 0, 80, 0, 93, 0, ...(clock ?? [])]
  const value = octets.map((octet) => octet.toString(16).padStart(2, '0')).join('')
  const envelope = { characteristic: '2A35', value, encoding: 'hex', subject }
  return receiveValues(flows, 'bluetooth-blood-pressure', [
    { ...envelope, receivedAt: '2026-10-31T07:00:00Z', position: 'sitting', arm: 'left', site: 'upper-arm' },
  ])
}

const codeOf = ([outcome]: readonly Outcome[]) =>
  outcome?.kind === 'refused' ? outcome.issues.map(({ code }) => code) : []

/** Outcome, what was noticed of the times, and when the store holds it to have been taken. */
async function kept([outcome]: readonly Outcome[]) {
  if (outcome === undefined || !('receipt' in outcome)) throw new Error(JSON.stringify(outcome))
  const { kind, receipt } = outcome
  const stored = await flows.ports.store.session(SOURCE, receipt.id)
  const codes = receipt.findings.map(({ code }) => code).filter((code) => /time|receipt|future/.test(code))
  return [kind, codes, new Date(stored?.takenMs ?? 0).toISOString()]
}

async function nothingIsHeld() {
  expect((await flows.ports.store.figures()).sessions).toBe(0)
}

describe('the hour the clock jumped over', () => {
  it('in a diary: refused, at the columns of day and time, once', async () => {
    const outcomes = await row('29.03.2026', '02:30')
    expect(outcomes).toMatchObject([{ issues: [{ code: 'BAD_TIME', line: 2, from: 'Date, Heure' }] }])
    expect(codeOf(outcomes)).toHaveLength(1)
    await nothingIsHeld()
  })

  it('of a monitor: refused', async () => {
    expect(codeOf(await indication(stamp(2026, 3, 29, 2)))).toEqual(['BAD_TIME'])
    await nothingIsHeld()
  })
})

describe('the hour the clock showed twice', () => {
  it('in a diary: refused, because which of the two is not said', async () => {
    expect(codeOf(await row('25.10.2026', '02:30'))).toEqual(['TIME_NEEDS_OFFSET'])
    await nothingIsHeld()
  })

  it('of a monitor: refused', async () => {
    expect(codeOf(await indication(stamp(2026, 10, 25, 2)))).toEqual(['TIME_NEEDS_OFFSET'])
    await nothingIsHeld()
  })
})

describe('a time without an offset', () => {
  it('is placed by the zone of the enrolment', async () => {
    expect(await kept(await row('30.10.2026', '07:30'))).toEqual(['kept', [], '2026-10-30T06:30:00.000Z'])
    expect(await kept(await indication(stamp(2026, 7, 30, 7)))).toEqual([
      'kept',
      [],
      '2026-07-30T05:30:00.000Z',
    ])
  })

  it('of a subject who is not enrolled: refused', async () => {
    expect(codeOf(await row('30.10.2026', '07:30', 'HW-1002'))).toEqual(['TIME_NEEDS_OFFSET'])
    expect(codeOf(await indication(stamp(2026, 10, 30, 7), 'HW-1002'))).toEqual(['TIME_NEEDS_OFFSET'])
    await nothingIsHeld()
  })
})

describe('a monitor without a clock', () => {
  it.each([
    ['that sends no time', undefined],
    ['whose clock was never set', [0, 0, 0, 0, 0, 0, 0]],
    ['whose clock shows a day that is none', stamp(2026, 2, 30, 7)],
  ])('%s: kept with the time of receipt, and it is noted', async (_what, clock) => {
    expect(await kept(await indication(clock))).toEqual([
      'kept',
      ['time-of-receipt'],
      '2026-10-31T07:00:00.000Z',
    ])
  })
})

describe('a clock with a wrong year', () => {
  it.each([1989, 2101])('%d: refused', async (year) => {
    expect(codeOf(await row(`30.10.${year}`, '07:30'))).toEqual(['BAD_TIME'])
    expect(codeOf(await indication(stamp(year, 10, 30, 7)))).toEqual(['BAD_TIME'])
    await nothingIsHeld()
  })

  it('that can be, but is ahead: kept as it was sent, and noted', async () => {
    expect(await kept(await row('30.10.2028', '07:30'))).toEqual([
      ...['kept', ['time-in-future'], '2028-10-30T06:30:00.000Z'],
    ])
    expect(await kept(await indication(stamp(2028, 7, 30, 7)))).toEqual([
      ...['kept', ['time-in-future'], '2028-07-30T05:30:00.000Z'],
    ])
  })
})

it('the table of clocks in the handbook has these cases', () => {
  const handbook = readFileSync(join(root, 'DEVELOPERS.md'), 'utf8')
  const table = handbook.slice(handbook.indexOf('## Clocks')).split('\n## ')[0] ?? ''
  for (const row of [
    'jumped over',
    'showed twice',
    'Without an offset',
    'not enrolled',
    'without a clock',
    'wrong year',
    'ahead',
  ])
    expect(table).toContain(row)
})
