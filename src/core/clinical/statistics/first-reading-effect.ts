import { mean } from 'simple-statistics'
import type { PeriodAverage } from '../averaging/period-average.ts'
import { readingsWith } from './measured-readings.ts'
import { bySitting, meanMmHg, type PressureName, pressurePoints } from './pressure-points.ts'

/**
 * How much the first reading of a sitting differs from the mean of the others, mmHg, as the mean over sittings; above
 * zero when first readings are the higher ones. First is the first place in the sitting. A first reading takes part
 * although its protocol leaves it out for being the first. Undefined when no sitting has both.
 */
export function firstReadingEffect(average: PeriodAverage, pressure: PressureName): number | undefined {
  const points = pressurePoints(readingsWith(average, ['first-reading']), pressure, average.plan.protocol)
  const effects = bySitting(points).flatMap((sitting) => {
    const first = sitting.find(({ placed }) => placed.reading.ordinal === FIRST)
    const others = sitting.filter(({ placed }) => placed.reading.ordinal !== FIRST)
    return first === undefined || others.length === 0 ? [] : [first.mmHg - meanMmHg(others)]
  })
  return effects.length === 0 ? undefined : mean(effects)
}

/** The place of the first reading in a sitting. */
const FIRST = 1
