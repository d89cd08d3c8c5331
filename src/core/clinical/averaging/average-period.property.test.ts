import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { microPascals } from '../../basics/pressure.ts'
import type { Protocol } from '../protocol/protocol.ts'
import { averagePeriod } from './average-period.ts'
import type { CheckedSession, PeriodAverage, PlacedReading } from './period-average.ts'

const FIRST_MS = Date.parse('2026-03-01T00:00:00Z')
const MINUTES = 16 * 24 * 60

const nice = shippedProtocol('nice-ng136-home')
const protocol: fc.Arbitrary<Protocol> = fc.constantFrom<Protocol>(
  nice,
  shippedProtocol('fortnight-of-mornings'),
  {
    ...nice,
    id: 'means',
    pooling: 'mean-of-sitting-means',
    leaveOut: { ...nice.leaveOut, firstDays: 0, firstReading: 'drop' },
  },
)

const numbers: fc.Arbitrary<Numbers> = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.tuple(
      fc.integer({ min: 90, max: 220 }),
      fc.integer({ min: 40, max: 89 }),
      fc.integer({ min: 40, max: 120 }),
    ),
  },
  { weight: 1, arbitrary: fc.constant<Numbers>([null, 80]) },
  { weight: 1, arbitrary: fc.constant<Numbers>([130, null]) },
)

/** Mostly ordinary sittings of sixteen days, some at the edge of every rule, each at a minute of its own. */
const sittings: fc.Arbitrary<readonly CheckedSession[]> = fc
  .uniqueArray(
    fc.record({
      minute: fc.integer({ min: 0, max: MINUTES }),
      readings: fc.array(numbers, { minLength: 1, maxLength: 4 }),
      arm: fc.constantFrom('left', 'left', 'left', 'right'),
      site: fc.constantFrom('upper-arm', 'upper-arm', 'upper-arm', 'wrist'),
      setting: fc.constantFrom('home', 'home', 'home', 'clinic'),
      flagged: fc.boolean(),
    }),
    { selector: ({ minute }) => minute, maxLength: 30 },
  )
  .map((all) =>
    all.map(({ minute, flagged, ...said }) =>
      homeSitting({ ...said, at: timeAt(minute), findings: flagged ? [techniqueFinding()] : [] }),
    ),
  )

describe('the average of any sittings under any protocol', () => {
  it('does not depend on the order of arrival', () => {
    fc.assert(
      fc.property(
        protocol,
        sittings.chain((all) =>
          fc.tuple(fc.constant(all), fc.shuffledSubarray([...all], { minLength: all.length })),
        ),
        (rule, [inOrder, shuffled]) => {
          expect(averageOf(rule, shuffled)).toEqual(averageOf(rule, inOrder))
        },
      ),
    )
  })

  it('uses or leaves out each received reading exactly once, with a reason', () => {
    fc.assert(
      fc.property(protocol, sittings, (rule, all) => {
        const { used, leftOut, received } = averageOf(rule, all)
        const seen = [...used, ...leftOut.map(({ placed }) => placed)].map(keyOf)
        const sent = all.flatMap(({ session }) =>
          session.readings.map(({ ordinal }) => `${session.id} ${ordinal}`),
        )
        expect(seen.toSorted()).toEqual(sent.toSorted())
        expect(received).toBe(sent.length)
        for (const { text } of leftOut) expect(text).toMatch(/\.$/)
      }),
    )
  })

  it('lies between the least and the greatest reading used', () => {
    fc.assert(
      fc.property(protocol, sittings, (rule, all) => {
        const { mean, used } = averageOf(rule, all)
        expect(mean === undefined).toBe(used.length === 0)
        if (mean === undefined) return
        for (const part of ['systolic', 'diastolic'] as const) {
          const values = used.map((one) => valueIn(one, part))
          const { total, count } = mean[part]
          expect(
            total >= BigInt(Math.min(...values)) * count && total <= BigInt(Math.max(...values)) * count,
          ).toBe(true)
        }
      }),
    )
  })

  it('never pools arms, sites or settings', () => {
    fc.assert(
      fc.property(protocol, sittings, (rule, all) => {
        const { used } = averageOf(rule, all)
        const limbs = new Set(used.map(({ session: { arm, site, setting } }) => `${arm} ${site} ${setting}`))
        expect(limbs.size).toBeLessThanOrEqual(1)
      }),
    )
  })

  it('is not moved by one more sitting that is left out and does not begin the measuring', () => {
    let tried = 0
    fc.assert(
      fc.property(protocol, sittings, sittings, (rule, all, more) => {
        const before = averageOf(rule, all)
        const firstMs = Math.min(...all.map(({ session }) => session.takenAt.epochMs))
        const known = new Set(all.map(({ session }) => session.id))
        for (const extra of more) {
          if (extra.session.takenAt.epochMs < firstMs || known.has(extra.session.id)) continue
          const after = averageOf(rule, [...all, extra])
          if (after.used.some(({ session }) => session === extra.session)) continue
          if (beginsEarlier(before, after)) continue
          tried += 1
          expect(after.mean).toEqual(before.mean)
          expect(after.labels).toEqual(before.labels)
          expect(after.used).toEqual(before.used)
        }
      }),
    )
    expect(tried).toBeGreaterThan(50)
  })

  it('adds micropascals, whatever unit each reading came in', () => {
    const pooled: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }
    const kPa = fc.tuple(fc.integer({ min: 12_000, max: 29_000 }), fc.integer({ min: 5_000, max: 11_999 }))
    const mmHg = fc.tuple(fc.integer({ min: 900, max: 2200 }), fc.integer({ min: 400, max: 899 }))
    fc.assert(
      fc.property(
        fc.array(kPa, { minLength: 1, maxLength: 9 }),
        fc.array(mmHg, { minLength: 1, maxLength: 9 }),
        (inKPa, inMmHg) => {
          const { mean } = averageOf(pooled, [
            homeSitting({
              at: timeAt(2700),
              unit: 'kPa',
              readings: inKPa.map(([s, d]) => [s / 1000, d / 1000]),
            }),
            homeSitting({
              at: timeAt(2800),
              unit: 'mmHg',
              readings: inMmHg.map(([s, d]) => [s / 10, d / 10]),
            }),
          ])
          // A pascal is 10^6 micropascals; a tenth of a mmHg is 13.3322 Pa.
          const expected = (part: 0 | 1) =>
            inKPa.reduce((sum, one) => sum + BigInt(one[part]) * 1_000_000n, 0n) +
            inMmHg.reduce((sum, one) => sum + BigInt(one[part]) * 13_332_200n, 0n)
          expect(mean?.systolic.total).toBe(expected(0))
          expect(mean?.diastolic.total).toBe(expected(1))
        },
      ),
    )
  })
})

describe('one pressure in two units', () => {
  // 500 mmHg = 66.661 kPa is the least pressure that a tenth of a mmHg and a pascal can both write exactly.
  it('gives the same average from kPa as from mmHg', () => {
    const of = (unit: 'mmHg' | 'kPa', value: number) => {
      const at = [timeAt(2700), timeAt(4500)]
      return averageOf(
        nice,
        at.map((time) => homeSitting({ at: time, unit, readings: [[value, value]] })),
      )
    }
    const fromMmHg = of('mmHg', 500)
    const fromKPa = of('kPa', 66.661)
    expect(fromKPa.mean).toEqual(fromMmHg.mean)
    expect(fromKPa.labels).toEqual(fromMmHg.labels)
    expect(fromKPa.mean?.readings).toBe(1)
  })
})

function timeAt(minute: number): string {
  return `${new Date(FIRST_MS + minute * 60_000).toISOString().slice(0, 19)}Z`
}

function averageOf(rule: Protocol, all: readonly CheckedSession[]): PeriodAverage {
  const plan = { protocol: rule, zone: 'America/Denver', firstDay: '2026-03-02', lastDay: '2026-03-15' }
  return averagePeriod(plan, all, shippedSets)
}

const shippedSets = shippedThresholdSets()

function keyOf({ session, reading }: PlacedReading): string {
  return `${session.id} ${reading.ordinal}`
}

/** Micropascals. */
function valueIn({ reading }: PlacedReading, part: 'systolic' | 'diastolic'): number {
  const pressure = reading[part]
  if (pressure === null) throw new TypeError('a reading without both pressures was used')
  return microPascals(pressure)
}

/** Whether the extra sitting became the first day of measuring: then the day after it counts, as it should. */
function beginsEarlier(before: PeriodAverage, after: PeriodAverage): boolean {
  return firstMeasuredDay(before) !== firstMeasuredDay(after)
}

function firstMeasuredDay({ used, leftOut, plan }: PeriodAverage): string | undefined {
  return [...used, ...leftOut.map(({ placed }) => placed)]
    .filter(({ session, day }) => session.setting === 'home' && day >= plan.firstDay && day <= plan.lastDay)
    .map(({ day }) => day)
    .toSorted()[0]
}
