import { ok, type Result, refused } from '../core/basics/result.ts'
import type {
  Label,
  LeftOutReason,
  PeriodAverage,
  Sufficiency,
} from '../core/clinical/averaging/period-average.ts'
import type { Evidence } from '../core/clinical/citations.ts'
import {
  type CommonLabels,
  type ComparedProtocol,
  comparePeriod,
} from '../core/clinical/comparison/compare-period.ts'
import { CAUTION } from '../core/clinical/report/caution.ts'
import { type RoundedMean, roundedMean } from '../core/clinical/report/rounded-mean.ts'
import type { Period } from '../core/registry/period.ts'
import { rulesOf } from './period-rules.ts'
import { heldInPeriod, readAll } from './period-sittings.ts'
import type { Ports } from './ports.ts'

/** The same readings under every protocol, as plain JSON. */
export interface ProtocolComparison {
  readonly period: Pick<Period, 'firstDay' | 'lastDay' | 'arm'> & {
    readonly id: string
    readonly zone: string
  }
  /** Digits after the point of every mean below. */
  readonly decimals: 0 | 1
  readonly rows: readonly ComparisonRow[]
  /** The means of all rows labelled by one threshold set: where `moves`, the rule and not the patient moves the label. */
  readonly bySet: readonly CommonLabels[]
  readonly caution: string
}

export interface ComparisonRow {
  readonly protocol: string
  readonly title: string
  readonly evidence: Evidence
  /** Whether the period is averaged by this one. */
  readonly isOwn: boolean
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

/** Averages what is held for a period under every protocol that is loaded, whether it is closed or not. Keeps nothing. */
export async function comparePeriodProtocols(
  period: Period,
  at: Pick<Ports, 'store' | 'catalogue' | 'policy'>,
): Promise<Result<ProtocolComparison>> {
  const rules = await rulesOf(period, at)
  if (!rules.ok) return refused(rules.issues)
  const { enrolment, destination } = rules.value
  const { id, firstDay, lastDay, arm } = period
  const armOf = arm === undefined ? {} : { arm }
  const days = { firstDay, lastDay, ...armOf, zone: enrolment.zone }
  const sittings = readAll(await heldInPeriod(period, enrolment, at), enrolment, at)
  const { compared, bySet } = comparePeriod(
    { ...days, policy: destination.findings },
    sittings,
    [...at.catalogue.protocols.values()],
    [...at.catalogue.thresholdSets.values()],
  )
  const { decimals } = destination
  return ok({
    period: { id, ...days },
    decimals,
    rows: compared.map((one) => rowOf(one, period.protocol, decimals)),
    bySet,
    caution: CAUTION,
  })
}

function rowOf({ protocol, average }: ComparedProtocol, own: string, decimals: 0 | 1): ComparisonRow {
  const { mean, used, received, labels, sufficiency } = average
  return {
    protocol: protocol.id,
    title: protocol.title,
    evidence: protocol.evidence,
    isOwn: protocol.id === own,
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
