import { rounded } from '../../basics/exact-mean.ts'
import { instantOf } from '../../basics/instant.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { PairLimit } from '../attention/attention-limits.ts'
import { recordingAttention } from '../attention/period-attention.ts'
import type { Evidence } from '../citations.ts'
import { CAUTION } from '../report/caution.ts'
import { type AttentionSummary, attentionSummary } from '../report/period-summary.ts'
import { pooledEnrolments } from '../report/pooled-enrolments.ts'
import { type RoundedMean, roundedMean } from '../report/rounded-mean.ts'
import type { Arm, Site } from '../session.ts'
import type {
  DippingClass,
  RecordingAverage,
  RecordingLabel,
  RecordingLeftOut,
  RecordingLeftOutReason,
  RecordingValidity,
  Span,
} from './recording-average.ts'

/** The means of a recording as plain JSON: what the interfaces return and what the narrative is written from. */
export interface RecordingSummary {
  readonly rule: {
    readonly id: string
    readonly title: string
    readonly citation: { readonly text: string; readonly url?: string }
    readonly evidence: Evidence
    /** What the source leaves open and the rule's file settles. */
    readonly settledHere: readonly string[]
  }
  readonly period: { readonly firstDay: LocalDay; readonly lastDay: LocalDay; readonly zone: string }
  /** First and last reading, RFC 3339 in UTC; absent when there is no recording. */
  readonly recording?: { readonly from: string; readonly to: string }
  readonly dayAndNightBy: RecordingAverage['dayAndNightBy']
  /** Digits after the point of every mean below; each was rounded once, half away from zero. */
  readonly decimals: 0 | 1
  readonly arm?: Arm
  readonly site?: Site
  readonly means: readonly (RoundedMean & { readonly span: Span })[]
  /** One digit after the point; the class is by the unrounded means. */
  readonly dipping?: { readonly percent: number; readonly class: DippingClass }
  readonly readings: {
    readonly used: number
    readonly received: number
    /** Enrolments that those used came through; absent where it is one. */
    readonly enrolments?: number
  }
  readonly leftOut: readonly RecordingLeftOutSummary[]
  readonly validity: RecordingValidity
  /** By the unrounded means, each naming its threshold set and the mean it is drawn for. */
  readonly labels: readonly RecordingLabel[]
  /** Very high readings of its days; absent when there are none. */
  readonly attention?: readonly AttentionSummary[]
  readonly caution: string
}

export interface RecordingLeftOutSummary {
  readonly session: string
  /** Name of the session's source, where the sittings are of more than one. */
  readonly source?: string
  /** 1-based place in the session. */
  readonly reading: number
  readonly day: LocalDay
  readonly reason: RecordingLeftOutReason
  readonly text: string
}

/**
 * A recording for people and interfaces, rounded here and nowhere before.
 *
 * @param high from where on a reading asks for attention.
 * @param decimals digits after the point of means; 0 for servers that hold whole numbers only.
 */
export function recordingSummary(
  average: RecordingAverage,
  high: PairLimit,
  decimals: 0 | 1,
): RecordingSummary {
  const { plan, recording, dipping } = average
  const attention = recordingAttention(average, high).map(attentionSummary)
  const { id, title, citation, evidence, settledHere } = plan.rule
  const { text, url } = citation
  return {
    rule: { id, title, citation: url === undefined ? { text } : { text, url }, evidence, settledHere },
    period: { firstDay: plan.firstDay, lastDay: plan.lastDay, zone: plan.zone },
    ...(recording === undefined
      ? {}
      : { recording: { from: instantOf(recording.fromMs).text, to: instantOf(recording.toMs).text } }),
    dayAndNightBy: average.dayAndNightBy,
    decimals,
    ...(average.arm === undefined ? {} : { arm: average.arm }),
    ...(average.site === undefined ? {} : { site: average.site }),
    means: average.means.map(({ span, mean }) => ({ span, ...roundedMean(mean, decimals) })),
    ...(dipping === undefined
      ? {}
      : { dipping: { percent: rounded(dipping.percent, 1), class: dipping.class } }),
    readings: {
      used: average.used.length,
      received: average.received,
      ...pooledEnrolments(average.used),
    },
    leftOut: average.leftOut.map(leftOutSummary),
    validity: average.validity,
    labels: average.labels,
    ...(attention.length === 0 ? {} : { attention }),
    caution: CAUTION,
  }
}

function leftOutSummary({ placed, reason, text }: RecordingLeftOut): RecordingLeftOutSummary {
  const { session, reading, day, source } = placed
  const origin = source === undefined ? {} : { source }
  return { session: session.id, ...origin, reading: reading.ordinal, day, reason, text }
}
