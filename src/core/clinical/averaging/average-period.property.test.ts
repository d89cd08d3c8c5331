import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyPlan, anySittings } from '../../../../tests/support/any-sittings.ts'
import { homeSitting } from '../../../../tests/support/home-sitting.ts'
import { keepAll, weekOf } from '../../../../tests/support/select-sittings.ts'
import { shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { type ExactMean, roundedMmHg } from '../../basics/exact-mean.ts'
import { microPascals } from '../../basics/pressure.ts'
import { averagePeriod } from './average-period.ts'
import type {
  CheckedSession,
  LeftOutReason,
  PeriodAverage,
  PeriodPlan,
  PlacedReading,
} from './period-average.ts'

const shippedSets = shippedThresholdSets()

describe('the average of any sittings under any protocol', () => {
  it('does not depend on the order of arrival', () => {
    fc.assert(
      fc.property(
        anyPlan,
        anySittings.chain((all) =>
          fc.tuple(fc.constant(all), fc.shuffledSubarray([...all], { minLength: all.length })),
        ),
        (plan, [inOrder, shuffled]) => {
          expect(averageOf(plan, shuffled)).toEqual(averageOf(plan, inOrder))
        },
      ),
    )
  })

  it('uses or leaves out each received reading exactly once, with a reason', () => {
    const reasons = new Set<LeftOutReason>()
    const eachOnce = fc.property(anyPlan, anySittings, (plan, all) => {
      const { used, leftOut, received } = averageOf(plan, all)
      const seen = [...used, ...leftOut.map(({ placed }) => placed)].map(keyOf)
      const sent = all.flatMap(({ session }) =>
        session.readings.map(({ ordinal }) => `${session.id} ${ordinal}`),
      )
      expect(seen.toSorted()).toEqual(sent.toSorted())
      expect(received).toBe(sent.length)
      for (const { text, reason } of leftOut) {
        reasons.add(reason)
        expect(text).toMatch(/\.$/)
      }
    })
    fc.assert(eachOnce, { numRuns: 300 })
    // The same ones each time, among which every reason is: some of them are rare.
    reasons.clear()
    fc.assert(eachOnce, { numRuns: 300, seed: 20_261_124 })
    expect([...reasons].toSorted()).toEqual([
      'arm-not-stated',
      'excluded-by-policy',
      'extra-reading',
      'extra-sitting',
      'first-day',
      'first-reading',
      'other-arm',
      'other-position',
      'other-setting',
      'other-site',
      'outside-period',
      'outside-window',
      'pressure-missing',
      'same-reading-again',
      'site-not-stated',
      'withdrawn',
    ])
  })

  it('lies between the least and the greatest reading used', () => {
    fc.assert(
      fc.property(anyPlan, anySittings, (plan, all) => {
        const { mean, used } = averageOf(plan, all)
        expect(mean === undefined).toBe(used.length === 0)
        if (mean === undefined) return
        for (const part of ['systolic', 'diastolic'] as const) {
          const values = used.map((one) => valueIn(one, part))
          expect(isWithin(mean[part], Math.min(...values), Math.max(...values))).toBe(true)
        }
      }),
    )
  })

  it('never pools arms, sites or settings', () => {
    fc.assert(
      fc.property(anyPlan, anySittings, (plan, all) => {
        const { used } = averageOf(plan, all)
        const limbs = new Set(used.map(({ session: { arm, site, setting } }) => `${arm} ${site} ${setting}`))
        expect(limbs.size).toBeLessThanOrEqual(1)
      }),
    )
  })

  it('is not moved by one more reading that is left out for what it is', () => {
    let tried = 0
    fc.assert(
      fc.property(anyPlan, anySittings, anySittings, (plan, all, more) => {
        const before = averageOf(plan, all)
        for (const one of more) {
          const extra = { ...one, session: { ...one.session, id: `z-${one.session.id}` } }
          const after = averageOf(plan, [...all, extra])
          const reasons = reasonsOf(after, extra)
          if (reasons === undefined || !reasons.every((reason) => FOR_WHAT_IT_IS.has(reason))) continue
          tried += 1
          expect(after.mean).toEqual(before.mean)
          expect(after.labels).toEqual(before.labels)
          expect(after.used).toEqual(before.used)
        }
      }),
    )
    expect(tried).toBeGreaterThan(100)
  })

  it('is not moved by one more sitting that is left out by the schedule and begins no day of measuring', () => {
    let tried = 0
    fc.assert(
      fc.property(anyPlan, anySittings, anySittings, (plan, all, more) => {
        const { extraSittings, firstReading } = plan.protocol.leaveOut
        // The first sitting of a window keeps later ones out, also where its own reading goes as first of it.
        fc.pre(extraSittings === 'keep' || firstReading === 'keep')
        const before = averageOf(plan, all)
        for (const one of more) {
          const extra = { ...one, session: { ...one.session, id: `z-${one.session.id}` } }
          const after = averageOf(plan, [...all, extra])
          if (reasonsOf(after, extra) === undefined || beginsADay(before, after, extra)) continue
          tried += 1
          expect(after.mean).toEqual(before.mean)
          expect(after.used).toEqual(before.used)
        }
      }),
    )
    expect(tried).toBeGreaterThan(100)
  })
})

describe('the same readings in two units', () => {
  it('agree within a rounding: kPa to a pascal beside mmHg to a tenth', () => {
    // 1 mmHg = 133.322 Pa. Source: UCUM. A pascal is 0.0075 mmHg, so the nearest pascal is off by half of it at most.
    const inMmHg = fc.tuple(fc.integer({ min: 900, max: 2200 }), fc.integer({ min: 400, max: 899 }))
    fc.assert(
      fc.property(fc.array(inMmHg, { minLength: 1, maxLength: 9 }), (all) => {
        const [mmHg, kPa] = [
          all.map(([s, d]) => [s / 10, d / 10] as const),
          all.map(([s, d]) => [toKPa(s), toKPa(d)] as const),
        ]
        const means = (['mmHg', 'kPa'] as const).map(
          (unit) =>
            averageOf(weekOf(keepAll), [
              homeSitting({ at: '2026-03-03T07:00:00Z', unit, readings: unit === 'mmHg' ? mmHg : kPa }),
            ]).mean,
        )
        for (const part of ['systolic', 'diastolic'] as const) {
          const [one, other] = means.map((mean) => mean && roundedMmHg(mean[part], 4))
          expect(Math.abs((one ?? Number.NaN) - (other ?? Number.NaN))).toBeLessThanOrEqual(0.0039)
        }
      }),
    )
  })

  // 500 mmHg = 66.661 kPa is the least pressure that a tenth of a mmHg and a pascal can both write exactly.
  it('are the same to the last digit where both units can write them', () => {
    const of = (unit: 'mmHg' | 'kPa', value: number) =>
      averageOf(weekOf(keepAll), [
        homeSitting({ at: '2026-03-03T07:00:00Z', unit, readings: [[value, value]] }),
      ])
    expect(of('kPa', 66.661).mean).toEqual(of('mmHg', 500).mean)
    expect(of('kPa', 66.661).labels).toEqual(of('mmHg', 500).labels)
    expect(of('mmHg', 500).mean?.readings).toBe(1)
  })

  it('add up in micropascals when they are mixed', () => {
    const kPa = fc.tuple(fc.integer({ min: 12_000, max: 29_000 }), fc.integer({ min: 5_000, max: 11_999 }))
    const mmHg = fc.tuple(fc.integer({ min: 900, max: 2200 }), fc.integer({ min: 400, max: 899 }))
    fc.assert(
      fc.property(
        fc.array(kPa, { minLength: 1, maxLength: 9 }),
        fc.array(mmHg, { minLength: 1, maxLength: 9 }),
        (inKPa, inMmHg) => {
          const { mean } = averageOf(weekOf(keepAll), [
            homeSitting({
              at: '2026-03-03T07:00:00Z',
              unit: 'kPa',
              readings: inKPa.map(([s, d]) => [s / 1000, d / 1000]),
            }),
            homeSitting({
              at: '2026-03-04T07:00:00Z',
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

/** Of tenths of a mmHg, to the nearest pascal. */
function toKPa(tenths: number): number {
  return Math.round(tenths * 13.3322) / 1000
}

/** Reasons that no schedule and no other reading decides. */
const FOR_WHAT_IT_IS: ReadonlySet<LeftOutReason> = new Set([
  'withdrawn',
  'outside-period',
  'other-setting',
  'same-reading-again',
])

function averageOf(plan: PeriodPlan, all: readonly CheckedSession[]): PeriodAverage {
  return averagePeriod(plan, all, shippedSets)
}

/** Why all readings of a sitting are left out; undefined when one of them is used. */
function reasonsOf({ used, leftOut }: PeriodAverage, { session }: CheckedSession) {
  if (used.some((one) => one.session === session)) return undefined
  return leftOut.filter(({ placed }) => placed.session === session).map(({ reason }) => reason)
}

function keyOf({ session, reading }: PlacedReading): string {
  return `${session.id} ${reading.ordinal}`
}

/** Micropascals. */
function valueIn({ reading }: PlacedReading, part: 'systolic' | 'diastolic'): number {
  const pressure = reading[part]
  if (pressure === null) throw new TypeError('a reading without both pressures was used')
  return microPascals(pressure)
}

function isWithin({ total, count }: ExactMean, least: number, greatest: number): boolean {
  return BigInt(least) * count <= total && total <= BigInt(greatest) * count
}

/** Whether the sitting adds a day of measuring, which can be one of the first, or adds to the first of them. */
function beginsADay(before: PeriodAverage, after: PeriodAverage, { session }: CheckedSession): boolean {
  const known = daysOfMeasuring(before)
  const [first] = known
  return readingsOf(after)
    .filter((one) => one.session === session)
    .some(({ day }) => day === first || !known.includes(day))
}

function daysOfMeasuring(average: PeriodAverage): readonly string[] {
  const { firstDay, lastDay } = average.plan
  const atHome = readingsOf(average).filter(
    ({ session, day, withdrawn }) =>
      !withdrawn && session.setting === 'home' && day >= firstDay && day <= lastDay,
  )
  return [...new Set(atHome.map(({ day }) => day))].toSorted()
}

function readingsOf({ used, leftOut }: PeriodAverage): readonly PlacedReading[] {
  return [...used, ...leftOut.map(({ placed }) => placed)]
}
