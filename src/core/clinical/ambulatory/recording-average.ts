import type { ExactMean } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { Label, MeanPressure } from '../averaging/period-average.ts'
import type { FindingPolicy } from '../finding-policy.ts'
import type { RecordingRule } from '../protocol/recording-rule.ts'
import type { Arm, Reading, Session, Site } from '../session.ts'

/** One 24-hour recording that a patient was asked for, somewhere in these local days. */
export interface RecordingPlan {
  readonly rule: RecordingRule
  /** IANA zone of the patient; decides local days, and day and night where no diary does. */
  readonly zone: string
  /** First and last local day, both inside the period. */
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  /** What findings do to the means; absent: nothing is left out for one. */
  readonly policy?: FindingPolicy
}

/** What a mean is taken over. */
export type Span = RecordingRule['averaged'][number]
export type DayOrNight = Exclude<Span, '24-hours'>

/** One reading on the patient's clock. */
export interface RecordingReading {
  readonly session: Session
  readonly reading: Reading
  /** Epoch milliseconds; the sitting's time where the reading has none of its own. */
  readonly takenMs: number
  readonly day: LocalDay
  readonly part: DayOrNight
  /** Name of its source; absent where all of a person's sittings are of one. */
  readonly source?: string
}

export interface RecordingLeftOut {
  readonly placed: RecordingReading
  readonly reason: RecordingLeftOutReason
  /** For a person: why, by which rule. Holds no measured value. */
  readonly text: string
}

/** In the order in which they are asked: a reading that breaks several rules is left out by the first. */
export const RECORDING_LEFT_OUT_REASONS = [
  'withdrawn',
  'outside-period',
  'other-setting',
  'time-missing',
  'pressure-missing',
  'excluded-by-policy',
  'other-site',
  'site-not-stated',
  'other-arm',
  'arm-not-stated',
  'outside-recording',
  'same-reading-again',
  'part-not-averaged',
] as const

export type RecordingLeftOutReason = (typeof RECORDING_LEFT_OUT_REASONS)[number]

/** Whether there is enough of the recording, each demand of the rule by itself. */
export interface RecordingValidity {
  /** Successful readings, and the attempts the recorder made for them; no attempts where its source does not tell. */
  readonly successful: number
  readonly attempts?: number
  readonly leastShareOfAttempts?: number
  /** `not-told`: the rule asks, and the source does not tell. It is never worked out from the times of the readings. */
  readonly enoughOfAttempts: 'yes' | 'no' | 'not-told' | 'not-asked'
  /** Readings of the recording that count, by part; a part without a least is always enough. */
  readonly dayReadings: number
  readonly leastDayReadings?: number
  readonly enoughDay: boolean
  readonly nightReadings: number
  readonly leastNightReadings?: number
  readonly enoughNight: boolean
  /** `not-known`: nothing told speaks against it, and something the rule asks for is not told. */
  readonly verdict: 'valid' | 'not-valid' | 'not-known'
}

export type DippingClass = 'extreme dipper' | 'dipper' | 'non-dipper' | 'riser'

/** How far the systolic mean falls from day to night. */
export interface Dipping {
  /** 100 x (day - night) / day as a fraction, of systolic; negative when the night is the higher. */
  readonly percent: ExactMean
  readonly class: DippingClass
}

export interface SpanMean {
  readonly span: Span
  readonly mean: MeanPressure
}

export interface RecordingLabel extends Label {
  readonly span: Span
}

/** The means of a recording, and everything needed to see why they are what they are. */
export interface RecordingAverage {
  readonly plan: RecordingPlan
  /** First and last reading of the recording, epoch ms; absent when there is none. */
  readonly recording?: { readonly fromMs: number; readonly toMs: number }
  /** Whether the patient's own times of sleep were told, or the rule's hours stand for them. */
  readonly dayAndNightBy: 'diary' | 'fixed-hours'
  /** Those the rule works out and that have readings, in the order 24 hours, day, night. */
  readonly means: readonly SpanMean[]
  /** Every reading of the means, once; `part` says which. */
  readonly used: readonly RecordingReading[]
  readonly leftOut: readonly RecordingLeftOut[]
  /** Readings received: used and left out together. */
  readonly received: number
  /** The arm and the site it is of; absent when there is no recording, or when its readings do not state it. */
  readonly arm?: Arm
  readonly site?: Site
  readonly validity: RecordingValidity
  /** Only where the rule works out day and night, and both have the readings that it asks for. */
  readonly dipping?: Dipping
  readonly labels: readonly RecordingLabel[]
}

/** The readings that a mean rests on. */
export function readingsOf(span: Span, used: readonly RecordingReading[]): readonly RecordingReading[] {
  return span === '24-hours' ? used : used.filter(({ part }) => part === span)
}
