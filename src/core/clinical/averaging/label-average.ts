import type { Protocol } from '../protocol/protocol.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { labelMean } from './label-mean.ts'
import type { Label, MeanPressure, WindowAverage } from './period-average.ts'

/**
 * Labels a period by the protocol's own list of threshold sets, in its order; of those given, others are not used, nor
 * are sets that are drawn for another than the home mean. Where the protocol averages windows apart, its source never
 * looks at the mean of both, so each window's mean is labelled instead.
 */
export function labelAverage(
  protocol: Protocol,
  mean: MeanPressure | undefined,
  byWindow: readonly WindowAverage[],
  thresholdSets: readonly ThresholdSet[],
): readonly Label[] {
  return homeSets(protocol.thresholdSets, thresholdSets).flatMap((set): readonly Label[] => {
    if (protocol.windowsAveraged === 'apart')
      return byWindow.map((one) => ({ ...labelMean(one.mean, set), window: one.window }))
    return mean === undefined ? [] : [labelMean(mean, set)]
  })
}

function homeSets(wanted: readonly string[], sets: readonly ThresholdSet[]): readonly ThresholdSet[] {
  return wanted.flatMap((id) => sets.find((one) => one.id === id && one.setting === 'home') ?? [])
}
