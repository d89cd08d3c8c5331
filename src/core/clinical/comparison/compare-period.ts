import { averagePeriod } from '../averaging/average-period.ts'
import { labelMean } from '../averaging/label-mean.ts'
import type { CheckedSession, PeriodAverage, PeriodPlan } from '../averaging/period-average.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'

/** The same readings under every protocol, side by side. */
export interface PeriodComparison {
  /** In the order of the protocols. */
  readonly compared: readonly ComparedProtocol[]
  /** One entry per threshold set for home averages, in their order. */
  readonly bySet: readonly CommonLabels[]
}

export interface ComparedProtocol {
  readonly protocol: Protocol
  /** As its own period would have it, labelled by its own threshold sets. */
  readonly average: PeriodAverage
}

/**
 * The means of all protocols labelled by one threshold set, so that nothing but the rule of averaging differs between
 * two of them. It is the mean over all windows that is labelled, also where a protocol's source labels each apart.
 */
export interface CommonLabels {
  readonly thresholdSet: string
  readonly title: string
  /** Protocols without a mean are not among them. */
  readonly labels: readonly { readonly protocol: string; readonly label: string }[]
  /** Whether two protocols get different labels: then the rule, and not the patient, moves the category. */
  readonly moves: boolean
}

/** Averages a period under each of the protocols. The order of the sittings does not matter; nothing is rounded. */
export function comparePeriod(
  plan: Omit<PeriodPlan, 'protocol'>,
  sittings: readonly CheckedSession[],
  protocols: readonly Protocol[],
  thresholdSets: readonly ThresholdSet[],
): PeriodComparison {
  const compared = protocols.map((protocol) => ({
    protocol,
    average: averagePeriod({ ...plan, protocol }, sittings, thresholdSets),
  }))
  return {
    compared,
    bySet: thresholdSets
      .filter(({ setting }) => setting === 'home')
      .map((set) => commonLabels(compared, set)),
  }
}

function commonLabels(compared: readonly ComparedProtocol[], set: ThresholdSet): CommonLabels {
  const labels = compared.flatMap(({ protocol, average: { mean } }) =>
    mean === undefined ? [] : [{ protocol: protocol.id, label: labelMean(mean, set).label }],
  )
  return {
    thresholdSet: set.id,
    title: set.title,
    labels,
    moves: new Set(labels.map(({ label }) => label)).size > 1,
  }
}
