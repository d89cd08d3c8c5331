import type { AttentionLimits } from '../attention/attention-limits.ts'
import { periodAttention } from '../attention/period-attention.ts'
import { averagePeriod } from '../averaging/average-period.ts'
import type { CheckedSession, PeriodPlan } from '../averaging/period-average.ts'
import { integritySignals } from '../integrity/integrity-signals.ts'
import { compareWithClinic } from '../patterns/compare-with-clinic.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { periodStatistics } from '../statistics/period-statistics.ts'
import type { PeriodReport } from './period-report.ts'

/**
 * The average of a period and everything that stands beside it. Nothing is rounded, and nothing beside the average
 * changes it.
 *
 * @param sittings every session with a reading in the period, clinic readings and what was withdrawn included.
 */
export function reportPeriod(
  plan: PeriodPlan,
  sittings: readonly CheckedSession[],
  thresholdSets: readonly ThresholdSet[],
  attentionLimits: AttentionLimits,
): PeriodReport {
  const average = averagePeriod(plan, sittings, thresholdSets)
  const statistics = periodStatistics(average)
  return {
    average,
    ...(statistics === undefined ? {} : { statistics }),
    integrity: integritySignals(average, thresholdSets),
    clinic: compareWithClinic(average),
    attention: periodAttention(average, attentionLimits),
  }
}
