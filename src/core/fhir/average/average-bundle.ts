import type { Bundle } from 'fhir/r4.js'
import type { PeriodReport } from '../../clinical/report/period-report.ts'
import type { AverageContext } from '../average-context.ts'
import { averageObservation } from './average-observation.ts'
import { meansBundle, type SubmittedSession } from './means-bundle.ts'

/**
 * An average and the readings that travel with it, as one transaction.
 *
 * @param carried sessions whose readings travel along: where readings do not stay here, every one with a reading in the
 *   period, those of the average’s `used` and `leftOut` among them.
 */
export function averageBundle(
  report: PeriodReport,
  carried: readonly SubmittedSession[],
  context: AverageContext,
): Bundle {
  const { withIds: _, ...inTransaction } = context
  return meansBundle([averageObservation(report, inTransaction)], carried, inTransaction)
}
