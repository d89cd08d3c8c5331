import type { ExactMean } from '../../basics/exact-mean.ts'
import { MICROPASCALS_PER_MMHG } from '../../basics/pressure.ts'
import type { PeriodAverage } from '../averaging/period-average.ts'
import type { PressureName } from './pressure-points.ts'

/** Mean of the window named `morning` less that of the one named `evening`, mmHg. Undefined when one is missing. */
export function morningLessEvening({ byWindow }: PeriodAverage, pressure: PressureName): number | undefined {
  const meanOf = (name: string) => byWindow.find(({ window }) => window === name)?.mean[pressure]
  const morning = meanOf('morning')
  const evening = meanOf('evening')
  return morning === undefined || evening === undefined ? undefined : difference(morning, evening)
}

/** Exact until the one division, so that equal means differ by zero. */
function difference(a: ExactMean, b: ExactMean): number {
  const total = a.total * b.count - b.total * a.count
  return Number(total) / Number(a.count * b.count) / MICROPASCALS_PER_MMHG
}
