import type { ExactMean } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { FindingCode } from '../finding.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { Arm, Reading, Session } from '../session.ts'

/** What a patient was asked to do: measure under a protocol, on these local days. */
export interface PeriodPlan {
  readonly protocol: Protocol
  /** IANA zone of the patient; decides which local day a reading belongs to. */
  readonly zone: string
  /** First and last local day, both inside the period. */
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  /** The arm to use. Absent: the arm with more readings, the left one on a tie; arms are never pooled. */
  readonly arm?: Arm
}

/** One reading on the patient's calendar, ready to be selected or left out. */
export interface PlacedReading {
  readonly session: Session
  readonly reading: Reading
  readonly day: LocalDay
  /** Name of the sitting window it fell in, or undefined when it fell in none. */
  readonly window: string | undefined
  /** Technique findings that concern it: those of the reading itself and those of its whole sitting. */
  readonly techniqueFindings: readonly FindingCode[]
}

export interface LeftOut {
  readonly placed: PlacedReading
  readonly reason: LeftOutReason
  /** For a person: why, by which rule. */
  readonly text: string
}

export type LeftOutReason =
  | 'first-day'
  | 'first-reading'
  | 'outside-period'
  | 'outside-window'
  | 'other-arm'
  | 'other-site'
  | 'other-setting'
  | 'pressure-missing'
  | 'not-plausible'

export interface MeanPressure {
  /** Micropascals over count. */
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  /** Beats over count; absent when no reading carried a pulse. A reading without one lowers only this count. */
  readonly pulse?: ExactMean
  /** Readings averaged. */
  readonly readings: number
}

export interface Sufficiency {
  readonly daysUsed: number
  readonly leastDays: number
  readonly enoughDays: boolean
  /** Absent least: the source states no minimum count, so the count cannot fail. */
  readonly readingsUsed: number
  readonly leastReadings?: number
  readonly enoughReadings: boolean
}

export interface Label {
  readonly thresholdSet: string
  readonly title: string
  readonly label: string
}

export interface InterArm {
  readonly leftReadings: number
  readonly rightReadings: number
  /** Mean of the left arm less mean of the right, mmHg, unrounded. */
  readonly systolicMmHg: number
  readonly diastolicMmHg: number
  /** Whether the difference, either way, is above the limit. */
  readonly aboveLimit: boolean
  readonly limitMmHg: number
}

/** The trustworthy pair of numbers, and everything needed to see why it is what it is. */
export interface PeriodAverage {
  readonly plan: PeriodPlan
  /** Absent when no reading counts. */
  readonly mean?: MeanPressure
  /** One entry per sitting window of the protocol that has readings, in the protocol's order. */
  readonly byWindow: readonly { readonly window: string; readonly mean: MeanPressure }[]
  readonly used: readonly PlacedReading[]
  readonly leftOut: readonly LeftOut[]
  /** Readings received for the period: used and left out together. */
  readonly received: number
  readonly arm?: Arm
  readonly sufficiency: Sufficiency
  readonly labels: readonly Label[]
  /** The same average without readings that carry a technique finding: what better technique would change. */
  readonly sensitivity: {
    readonly mean?: MeanPressure
    readonly labels: readonly Label[]
    readonly flaggedReadings: number
  }
  readonly interArm?: InterArm
}
