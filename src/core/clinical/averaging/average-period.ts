import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { adherence } from './adherence.ts'
import { interArm } from './inter-arm.ts'
import { labelAverage } from './label-average.ts'
import { statedArm, statedSite } from './limb-groups.ts'
import { meanPressure } from './mean-pressure.ts'
import type {
  CheckedSession,
  Label,
  MeanPressure,
  PeriodAverage,
  PeriodPlan,
  PlacedReading,
  WindowAverage,
} from './period-average.ts'
import { placeReadings } from './place-readings.ts'
import { selectReadings } from './select-readings.ts'
import { sufficiency } from './sufficiency.ts'

/**
 * The average of a period by its protocol, and everything needed to see why it is what it is.
 *
 * Nothing is rounded and no value is changed; the order of the sittings does not matter. Each sitting must be given
 * once, under one id. Labels follow the protocol's own list of threshold sets, see `labelAverage`.
 */
export function averagePeriod(
  plan: PeriodPlan,
  sittings: readonly CheckedSession[],
  thresholdSets: readonly ThresholdSet[],
): PeriodAverage {
  const placed = placeReadings(plan, sittings)
  const { used, leftOut, completeHome, trusted, arm, site } = selectReadings(plan, placed)
  const all = averageOf(plan, used, thresholdSets)
  const unflagged = used.filter(({ flagged }) => flagged.length === 0)
  const withoutFlagged = averageOf(plan, unflagged, thresholdSets)
  const averaged = all.mean !== undefined
  const betweenArms = interArm(trusted, site, averaged ? arm : undefined)
  return {
    plan,
    ...(all.mean === undefined ? {} : { mean: all.mean }),
    byWindow: all.byWindow,
    used,
    leftOut,
    received: placed.length,
    ...(averaged ? { ...statedArm(arm), ...statedSite(site) } : {}),
    sufficiency: sufficiency(plan.protocol, used, leftOut),
    adherence: adherence(plan, completeHome),
    labels: all.labels,
    sensitivity: {
      ...(withoutFlagged.mean === undefined ? {} : { mean: withoutFlagged.mean }),
      labels: withoutFlagged.labels,
      flaggedReadings: used.length - unflagged.length,
    },
    ...(betweenArms === undefined ? {} : { interArm: betweenArms }),
  }
}

interface Averaged {
  readonly mean: MeanPressure | undefined
  readonly byWindow: readonly WindowAverage[]
  readonly labels: readonly Label[]
}

function averageOf(
  { protocol }: PeriodPlan,
  used: readonly PlacedReading[],
  thresholdSets: readonly ThresholdSet[],
): Averaged {
  const meanOf = (readings: readonly PlacedReading[]) =>
    meanPressure(readings, protocol.pooling, protocol.leaveOut.zeroDiastolic)
  const mean = meanOf(used)
  const byWindow = protocol.sittings.flatMap(({ name }) => {
    const inWindow = meanOf(used.filter(({ window }) => window === name))
    return inWindow === undefined ? [] : [{ window: name, mean: inWindow }]
  })
  return { mean, byWindow, labels: labelAverage(protocol, mean, byWindow, thresholdSets) }
}
