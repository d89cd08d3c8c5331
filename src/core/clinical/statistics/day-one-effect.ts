import type { PeriodAverage } from '../averaging/period-average.ts'
import { homeReadings, readingsWith } from './measured-readings.ts'
import { meanMmHg, type PressureName, pressurePoints } from './pressure-points.ts'

/**
 * Mean of the first day of measuring less the mean of all later days, mmHg; each reading weighs the same. What only the
 * schedule leaves out (the first days, first and extra readings) takes part on both sides, so that like stands beside
 * like. Undefined when one side has no reading.
 *
 * To compare: Kyriakoulis 2022, 2,122 people, found day 1 higher by 2.8/1.4 mmHg, with a plateau after day 3.
 */
export function dayOneEffect(average: PeriodAverage, pressure: PressureName): number | undefined {
  const firstDay = homeReadings(average)[0]?.day
  const readings = readingsWith(average, ['first-day', 'first-reading', 'extra-sitting', 'extra-reading'])
  const points = pressurePoints(readings, pressure, average.plan.protocol)
  const first = points.filter(({ placed }) => placed.day === firstDay)
  const later = points.filter(({ placed }) => placed.day !== firstDay)
  return first.length === 0 || later.length === 0 ? undefined : meanMmHg(first) - meanMmHg(later)
}
