import { labelMean } from '../averaging/label-mean.ts'
import { statedArm, statedSite } from '../averaging/limb-groups.ts'
import { meanOfReadings } from '../averaging/mean-of-readings.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { dayAndNight } from './day-and-night.ts'
import { dippingOf } from './dipping.ts'
import { placeRecording } from './place-recording.ts'
import {
  type Dipping,
  type RecordingAverage,
  type RecordingLabel,
  type RecordingPlan,
  type RecordingValidity,
  readingsOf,
  type Span,
  type SpanMean,
} from './recording-average.ts'
import { recordingSpan } from './recording-span.ts'
import { recordingValidity } from './recording-validity.ts'
import { selectRecording } from './select-recording.ts'

/**
 * The means of one 24-hour recording by its rule. The recording may come as one session with many readings or as many
 * sessions; their order does not matter, and each must be given once. Nothing is rounded and no value is changed.
 *
 * Where the days hold more than one recording the first is averaged, on whichever limb it was worn. Labels follow the
 * rule's own list of threshold sets, each compared with the mean it is drawn for; a set for home or clinic is not compared.
 */
export function averageRecording(
  plan: RecordingPlan,
  sittings: readonly CheckedSession[],
  thresholdSets: readonly ThresholdSet[],
): RecordingAverage {
  const candidates = placeRecording(plan, sittings)
  const span = recordingSpan(candidates)
  const { by: dayAndNightBy, partAt } = dayAndNight(plan, sittings, span)
  const selection = selectRecording(plan, candidates, span, partAt)
  const { used, leftOut, recording } = selection
  const means = SPANS.filter((span) => plan.rule.averaged.includes(span)).flatMap((span): SpanMean[] => {
    const mean = meanOfReadings(readingsOf(span, used).map(({ reading }) => reading))
    return mean === undefined ? [] : [{ span, mean }]
  })
  const validity = recordingValidity(plan, selection)
  const dipping = dippingBetween(means, validity)
  return {
    plan,
    ...(recording === undefined
      ? {}
      : { recording, ...statedArm(span?.limb.arm), ...statedSite(span?.limb.site) }),
    dayAndNightBy,
    means,
    used,
    leftOut,
    received: candidates.length,
    validity,
    ...(dipping === undefined ? {} : { dipping }),
    labels: labelsOf(means, plan.rule.thresholdSets, thresholdSets),
  }
}

const SPANS: readonly Span[] = ['24-hours', 'day', 'night']

/** A night of few readings would give a person a class that the next one takes away. */
function dippingBetween(
  means: readonly SpanMean[],
  { enoughDay, enoughNight }: RecordingValidity,
): Dipping | undefined {
  if (!(enoughDay && enoughNight)) return undefined
  const day = means.find(({ span }) => span === 'day')
  const night = means.find(({ span }) => span === 'night')
  return day === undefined || night === undefined
    ? undefined
    : dippingOf(day.mean.systolic, night.mean.systolic)
}

function labelsOf(
  means: readonly SpanMean[],
  wanted: readonly string[],
  sets: readonly ThresholdSet[],
): readonly RecordingLabel[] {
  return wanted.flatMap((id) => {
    const set = sets.find((one) => one.id === id)
    if (set === undefined) return []
    return means
      .filter(({ span }) => set.setting === `ambulatory-${span}`)
      .map(({ span, mean }) => ({ span, ...labelMean(mean, set) }))
  })
}
