import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { interArm } from './inter-arm.ts'
import { labelMean } from './label-mean.ts'
import { meanPressure } from './mean-pressure.ts'
import type {
  CheckedSession,
  Label,
  MeanPressure,
  PeriodAverage,
  PeriodPlan,
  PlacedReading,
} from './period-average.ts'
import { placeReadings } from './place-readings.ts'
import { selectReadings } from './select-readings.ts'
import { sufficiency } from './sufficiency.ts'

/**
 * The average of a period by its protocol, and everything needed to see why it is what it is.
 *
 * Nothing is rounded and no value is changed; the order of the sittings does not matter. Each sitting must be given
 * once. Labels follow the protocol's own list of threshold sets, in its order; of those given, others are not used.
 */
export function averagePeriod(
  plan: PeriodPlan,
  sittings: readonly CheckedSession[],
  thresholdSets: readonly ThresholdSet[],
): PeriodAverage {
  const { protocol } = plan
  const placed = placeReadings(plan, sittings)
  const { used, leftOut, arm, site } = selectReadings(plan, placed)
  const meanOf = (readings: readonly PlacedReading[]) => meanPressure(readings, protocol.pooling)
  const labelsOf = (mean: MeanPressure | undefined) => labels(mean, protocol.thresholdSets, thresholdSets)

  const mean = meanOf(used)
  const unflagged = used.filter(({ techniqueFindings }) => techniqueFindings.length === 0)
  const unflaggedMean = meanOf(unflagged)
  const betweenArms = interArm(plan, placed, site)
  return {
    plan,
    ...(mean === undefined ? {} : { mean }),
    byWindow: protocol.sittings.flatMap(({ name }) => {
      const inWindow = meanOf(used.filter(({ window }) => window === name))
      return inWindow === undefined ? [] : [{ window: name, mean: inWindow }]
    }),
    used,
    leftOut,
    received: placed.length,
    ...(arm === undefined || mean === undefined ? {} : { arm }),
    ...(site === undefined || mean === undefined ? {} : { site }),
    sufficiency: sufficiency(protocol, used, leftOut),
    labels: labelsOf(mean),
    sensitivity: {
      ...(unflaggedMean === undefined ? {} : { mean: unflaggedMean }),
      labels: labelsOf(unflaggedMean),
      flaggedReadings: used.length - unflagged.length,
    },
    ...(betweenArms === undefined ? {} : { interArm: betweenArms }),
  }
}

function labels(
  mean: MeanPressure | undefined,
  wanted: readonly string[],
  sets: readonly ThresholdSet[],
): readonly Label[] {
  if (mean === undefined) return []
  return wanted.flatMap((id) => {
    const set = sets.find((one) => one.id === id)
    return set === undefined ? [] : [labelMean(mean, set)]
  })
}
