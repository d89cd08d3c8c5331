import { ok, type Result } from '../../core/basics/result.ts'
import { comparePeriod } from '../../core/clinical/comparison/compare-period.ts'
import { type ComparisonSummary, comparisonSummary } from '../../core/clinical/report/comparison-summary.ts'
import type { Period } from '../../core/registry/period.ts'
import { rulesOf } from '../person/period-rules.ts'
import { heldInPeriod, readAll } from '../person/period-sittings.ts'
import type { Ports } from '../ports/ports.ts'

/** A comparison, and which of its protocols the period goes by. */
export interface ComparedPeriod extends ComparisonSummary {
  readonly period: ComparisonSummary['period'] & Pick<Period, 'id' | 'protocol'>
}

/** Averages what is held for a period under every protocol that is loaded, whether it is closed or not. Keeps nothing. */
export async function comparePeriodProtocols(
  period: Period,
  at: Pick<Ports, 'store' | 'catalogue' | 'policy'>,
): Promise<Result<ComparedPeriod>> {
  const rules = await rulesOf(period, at)
  if (!rules.ok) return rules
  const { enrolment, person, destination } = rules.value
  const { id, protocol, firstDay, lastDay, arm } = period
  const days = { firstDay, lastDay, zone: enrolment.zone, ...(arm === undefined ? {} : { arm }) }
  const compared = comparePeriod(
    { ...days, policy: destination.findings },
    readAll(await heldInPeriod(period, person, at), person, at),
    [...at.catalogue.protocols.values()],
    [...at.catalogue.thresholdSets.values()],
  )
  const summary = comparisonSummary(compared, days, destination.decimals)
  return ok({ ...summary, period: { id, protocol, ...days } })
}
