import type { PeriodAverage } from '../averaging/period-average.ts'
import type { Finding } from '../finding.ts'
import type { IntegritySignal } from '../integrity/integrity-signal.ts'
import type { ClinicComparison } from '../patterns/clinic-comparison.ts'
import type { PeriodStatistics } from '../statistics/period-statistics.ts'

/** An average with everything a clinician may want to know beside it. None of it changes the average. */
export interface PeriodReport {
  readonly average: PeriodAverage
  /** Absent when no reading counts. */
  readonly statistics?: PeriodStatistics
  /** Signals about how the numbers were entered, for a person to weigh. */
  readonly integrity: readonly IntegritySignal[]
  /** What stands beside the home mean: the published correspondence, and the clinic's own readings where there are any. */
  readonly clinic: ClinicComparison
  /** Calls for attention over the period: repeated irregular pulse, arms that differ, very high or low readings. */
  readonly attention: readonly Finding[]
}
