import type { LocalDay } from '../../basics/local-day.ts'
import type { Label, LeftOutReason, PeriodAverage, Sufficiency } from '../averaging/period-average.ts'
import type { Evidence } from '../citations.ts'
import type { CommonLabels, ComparedProtocol, PeriodComparison } from '../comparison/compare-period.ts'
import type { Arm } from '../session.ts'
import { CAUTION } from './caution.ts'
import { type RoundedMean, roundedMean } from './rounded-mean.ts'

/** The same readings under every protocol, as plain JSON. */
export interface ComparisonSummary {
  readonly period: ComparedDays
  /** Digits after the point of every mean below; each was rounded once, half away from zero. */
  readonly decimals: 0 | 1
  /** In the order of the protocols. */
  readonly rows: readonly ComparisonRow[]
  /** The means of all rows labelled by one threshold set: where `moves`, the rule and not the patient moves the label. */
  readonly bySet: readonly CommonLabels[]
  readonly caution: string
}

export interface ComparedDays {
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  readonly zone: string
  readonly arm?: Arm
}

export interface ComparisonRow {
  readonly protocol: string
  readonly title: string
  readonly evidence: Evidence
  /** Absent when no reading counts. */
  readonly mean?: RoundedMean
  readonly used: number
  readonly received: number
  readonly daysUsed: number
  /** By the protocol's own threshold sets. */
  readonly labels: readonly Label[]
  readonly leftOut: readonly { readonly reason: LeftOutReason; readonly readings: number }[]
  readonly sufficiency: Sufficiency
}

/** A comparison for people and interfaces, rounded here and nowhere before. */
export function comparisonSummary(
  { compared, bySet }: PeriodComparison,
  period: ComparedDays,
  decimals: 0 | 1,
): ComparisonSummary {
  return { period, decimals, rows: compared.map((one) => rowOf(one, decimals)), bySet, caution: CAUTION }
}

function rowOf({ protocol, average }: ComparedProtocol, decimals: 0 | 1): ComparisonRow {
  const { mean, used, received, labels, sufficiency } = average
  return {
    protocol: protocol.id,
    title: protocol.title,
    evidence: protocol.evidence,
    ...(mean === undefined ? {} : { mean: roundedMean(mean, decimals) }),
    used: used.length,
    received,
    daysUsed: sufficiency.daysUsed,
    labels,
    leftOut: leftOutByReason(average),
    sufficiency,
  }
}

function leftOutByReason({ leftOut }: PeriodAverage): ComparisonRow['leftOut'] {
  const readings = new Map<LeftOutReason, number>()
  for (const { reason } of leftOut) readings.set(reason, (readings.get(reason) ?? 0) + 1)
  return [...readings].map(([reason, count]) => ({ reason, readings: count }))
}
