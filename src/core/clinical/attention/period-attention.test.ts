import { describe, expect, expectTypeOf, it } from 'vitest'
import { exampleReading, exampleSession, inMmHg, instant } from '../../../../tests/support/example-session.ts'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import type { PeriodAverage } from '../averaging/period-average.ts'
import { NO_FINDINGS } from '../finding.ts'
import type { Reading, Session } from '../session.ts'
import { DEFAULT_ATTENTION_LIMITS } from './attention-limits.ts'
import {
  type AttendedPeriod,
  type AttendedReading,
  periodAttention,
  recordingAttention,
} from './period-attention.ts'

const placed = (day: string, changes: Partial<Reading> = {}, of: Partial<Session> = {}): AttendedReading => {
  const reading = exampleReading(changes)
  const session = exampleSession({ readings: [reading], takenAt: instant(`${day}T06:41:00-07:00`), ...of })
  return { session, reading, day }
}
const high = (day: string, of: Partial<Session> = {}) => placed(day, { systolic: inMmHg(191) }, of)
const low = (day: string) => placed(day, { systolic: inMmHg(87) })
const irregular = (day: string) => placed(day, { monitorSays: { irregularPulse: true } })

const attend = (used: readonly AttendedReading[], more: Partial<AttendedPeriod> = {}) =>
  periodAttention({ used, leftOut: [], ...more }, DEFAULT_ATTENTION_LIMITS)

describe('what a period calls for', () => {
  it('takes a period average as it is', () => {
    expectTypeOf<PeriodAverage>().toExtend<AttendedPeriod>()
  })

  it('is nothing in an ordinary period', () => {
    expect(attend([placed('2026-03-02'), placed('2026-03-03')])).toBe(NO_FINDINGS)
  })

  it('counts very high readings and their days, left out or not', () => {
    const leftOut = [{ placed: high('2026-03-02'), reason: 'first-day' }]
    const [call, ...others] = attend([high('2026-03-03'), high('2026-03-03'), placed('2026-03-04')], {
      leftOut,
    })
    expect(others).toEqual([])
    expect(call).toMatchObject({ code: 'very-high', citation: 'nice-ng136-severe' })
    expect(call?.reading).toBeUndefined()
    expect(call?.text).toMatch(
      /^3 readings on 2 days were at or above 180 mmHg systolic or 120 mmHg diastolic, a limit of published guidance\./,
    )
  })

  it('says one reading on one day as people do', () => {
    expect(attend([low('2026-03-03')])[0]?.text).toMatch(
      /^1 reading on 1 day was below 90 mmHg systolic or 60 mmHg diastolic, the usual lay limit, quoted from memory/,
    )
  })

  it.each(['withdrawn', 'same-reading-again', 'outside-period'])(
    'does not count a reading left out as %s',
    (reason) => {
      expect(attend([], { leftOut: [{ placed: high('2026-03-02'), reason }] })).toBe(NO_FINDINGS)
    },
  )

  it.each(['clinic', 'public-kiosk', 'ambulatory'] as const)(
    'does not count a reading with setting %s',
    (setting) => {
      const leftOut = [{ placed: high('2026-03-02', { setting }), reason: 'other-setting' }]
      expect(attend([], { leftOut })).toBe(NO_FINDINGS)
    },
  )

  it('counts sittings with an irregular pulse, not readings', () => {
    const one = irregular('2026-03-02')
    expect(attend([one, one])).toBe(NO_FINDINGS)
    expect(attend([one, one, irregular('2026-03-16')])[0]?.text).toMatch(
      /^The monitor marked an irregular pulse in 2 sittings of the period, at least 2 of them within 14 days, a limit of common practice\./,
    )
    expect(attend([one, irregular('2026-03-17')])).toBe(NO_FINDINGS)
  })

  it.each([
    [20, 0, false],
    [20.1, 0, true],
    [-20.1, 0, true],
    [0, -20.1, true],
  ])('with arms that differ by %d/%d, is called for: %j', (systolic, diastolic, called) => {
    const mean = (mmHg: number) => ({
      total: BigInt(Math.round(mmHg * 10)) * BigInt(MICROPASCALS_PER_MMHG / 10) * 3n,
      count: 3n,
    })
    const interArm = {
      systolic: mean(systolic),
      diastolic: mean(diastolic),
      limits: [
        { citation: 'nice-ng136', above: true },
        { citation: 'hypertension-canada-2020', above: false },
      ],
    } as const
    const found = attend([], { interArm })
    expect(found.map(({ code }) => code)).toEqual(called ? ['arms-differ'] : [])
    if (called) expect(found[0]?.alsoCites).toEqual(['nice-ng136'])
  })

  it('comes all at once, in one order', () => {
    const found = attend([
      irregular('2026-03-02'),
      irregular('2026-03-03'),
      low('2026-03-03'),
      high('2026-03-04'),
    ])
    expect(found.map(({ code }) => code)).toEqual(['very-high', 'very-low', 'irregular-pulse-repeated'])
  })
})

describe('what a 24-hour recording calls for', () => {
  const worn = { setting: 'ambulatory' } as const
  const { high: limit } = DEFAULT_ATTENTION_LIMITS

  it('counts the very high readings of recorders, left out or not', () => {
    const leftOut = [{ placed: high('2026-03-03', worn), reason: 'outside-recording' }]
    const [call, ...others] = recordingAttention({ used: [high('2026-03-02', worn)], leftOut }, limit)
    expect(others).toEqual([])
    expect(call?.text).toMatch(/^2 readings on 2 days were at or above 180 mmHg systolic or 120 mmHg/)
  })

  it('does not count low ones, those taken at home, or those taken back', () => {
    const asleep = placed('2026-03-03', { systolic: inMmHg(87) }, worn)
    const leftOut = [
      { placed: high('2026-03-03', worn), reason: 'withdrawn' },
      { placed: high('2026-03-03'), reason: 'other-setting' },
    ]
    expect(recordingAttention({ used: [asleep], leftOut }, limit)).toBe(NO_FINDINGS)
  })
})
