import type { ExactMean } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { Finding, FindingCode } from '../finding.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { Arm, Reading, Session, Site } from '../session.ts'

/** What a patient was asked to do: measure under a protocol, on these local days. */
export interface PeriodPlan {
  readonly protocol: Protocol
  /** IANA zone of the patient; decides which local day a reading belongs to. */
  readonly zone: string
  /** First and last local day, both inside the period. */
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  /** The arm to use. Absent: see `choose-arm.ts`. Arms are never pooled. */
  readonly arm?: Arm
}

/** A sitting with what the checks noticed about it. */
export interface CheckedSession {
  readonly session: Session
  readonly findings: readonly Finding[]
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

export interface MeanPressure {
  /** Micropascals over count. */
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  /** Beats per minute over count; absent when no reading carried a pulse. A reading without one lowers only this count. */
  readonly pulse?: ExactMean
  /** Readings averaged. */
  readonly readings: number
}

/** Days and count are judged apart: some published minima cannot both be met. */
export interface Sufficiency {
  /** Local days with a reading that is averaged. */
  readonly daysUsed: number
  /** Those, and the days that only the protocol's own first-day or first-reading rule left out. */
  readonly daysMeasured: number
  readonly leastDays: number
  /** Whether `daysMeasured` reaches `leastDays`: sources count the days of measuring, the first one included. */
  readonly enoughDays: boolean
  /** Absent least: the source states no minimum count, so only an empty average fails. */
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
  /** Mean of the left arm less mean of the right, micropascals over count; negative when the right is the higher. */
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  /** Whether either difference, either way, is above the limit. Compared without rounding. */
  readonly aboveLimit: boolean
  readonly limitMmHg: number
  /** Whether either difference is above the lower limit at which NICE asks to measure both arms again. */
  readonly aboveRepeatLimit: boolean
  readonly repeatLimitMmHg: number
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
  /** The arm and the site whose readings were averaged; absent when none were. */
  readonly arm?: Arm
  readonly site?: Site
  readonly sufficiency: Sufficiency
  readonly labels: readonly Label[]
  /** The same average without readings that carry a technique finding: what better technique would change. */
  readonly sensitivity: {
    readonly mean?: MeanPressure
    readonly labels: readonly Label[]
    /** Readings that were averaged and carry a technique finding. */
    readonly flaggedReadings: number
  }
  readonly interArm?: InterArm
}
