import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { anyPlan, anySittings } from '../../../../tests/support/any-sittings.ts'
import type { ExactMean } from '../../basics/exact-mean.ts'
import { averageColumns } from './average-columns.ts'
import { averagePeriod } from './average-period.ts'
import { columnsOfReadings } from './columns-of-readings.ts'
import type { ColumnMean } from './mean-of-rows.ts'
import type { MeanPressure } from './period-average.ts'
import { placeReadings } from './place-readings.ts'

describe('the average of any person’s columns under any protocol', () => {
  it('is the average of the period: the same readings, days and exact means', () => {
    let averaged = 0
    fc.assert(
      fc.property(anyPlan, anySittings, (plan, sittings) => {
        const rich = averagePeriod(plan, sittings, [])
        const plain = averageColumns(plan, columnsOfReadings(placeReadings(plan, sittings)))
        expect(plain.received).toBe(rich.received)
        expect(plain.used).toBe(rich.used.length)
        expect(plain.days).toBe(rich.sufficiency.daysUsed)
        expectSame(plain.mean, rich.mean)
        expect(plain.byWindow.map(({ window }) => window)).toEqual(rich.byWindow.map(({ window }) => window))
        for (const [place, one] of plain.byWindow.entries()) expectSame(one, rich.byWindow[place]?.mean)
        if (plain.mean !== undefined) averaged += 1
      }),
      { numRuns: 500 },
    )
    expect(averaged).toBeGreaterThan(200)
  })
})

function expectSame(plain: ColumnMean | undefined, rich: MeanPressure | undefined): void {
  expect(plain === undefined).toBe(rich === undefined)
  if (plain === undefined || rich === undefined) return
  expect(plain.readings).toBe(rich.readings)
  expect(isSame(plain.systolic, rich.systolic)).toBe(true)
  expect(isSame(plain.diastolic, rich.diastolic)).toBe(true)
}

/** As fractions: two thirds are four sixths. */
function isSame(one: ExactMean, other: ExactMean): boolean {
  return one.total * other.count === other.total * one.count
}
