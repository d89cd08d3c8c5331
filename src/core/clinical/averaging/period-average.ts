import type { ExactMean } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { CitationId } from '../citations.ts'
import type { Finding, FindingCode } from '../finding.ts'
import type { FindingPolicy } from '../finding-policy.ts'
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
  /** The arm to use. Absent: see `selection/choose-limb.ts`. Arms are never pooled. */
  readonly arm?: Arm
  /** What findings do to the average; absent: nothing is left out for one, see `finding-policy.ts`. */
  readonly policy?: FindingPolicy
}

/** A sitting with what the checks noticed about it. */
export interface CheckedSession {
  readonly session: Session
  readonly findings: readonly Finding[]
  /** The source took it back: its readings are listed as left out, and nothing else is made of them. */
  readonly withdrawn?: boolean
  /** When the gateway received it, epoch ms; absent when that is not known. */
  readonly receivedMs?: number
  /** Name of the source it came from; absent where all of a person's sittings are of one. */
  readonly source?: string
}

/** One reading on the patient's calendar, ready to be selected or left out. */
export interface PlacedReading {
  readonly session: Session
  readonly reading: Reading
  readonly day: LocalDay
  /** Name of the sitting window it fell in, or undefined when it fell in none. */
  readonly window: string | undefined
  /** Findings that concern it and are flagged by the policy: those of the reading itself and of its whole sitting. */
  readonly flagged: readonly FindingCode[]
  /** Findings for which the policy leaves it out. */
  readonly excludedFor: readonly FindingCode[]
  readonly withdrawn: boolean
  /** When the gateway received its sitting, epoch ms; absent when that is not known. */
  readonly receivedMs?: number
  /** Of its sitting. */
  readonly source?: string
}

export interface LeftOut {
  readonly placed: PlacedReading
  readonly reason: LeftOutReason
  /** For a person: why, by which rule. */
  readonly text: string
  /** The reading that stands in its place, where the same one came through another source too. */
  readonly sameAs?: PlacedReading
}

export type LeftOutReason =
  | 'first-day'
  | 'first-reading'
  | 'outside-period'
  | 'outside-window'
  | 'other-arm'
  | 'other-site'
  | 'arm-not-stated'
  | 'site-not-stated'
  | 'other-setting'
  | 'pressure-missing'
  | 'withdrawn'
  | 'same-reading-again'
  | 'excluded-by-policy'
  | 'other-position'
  | 'extra-sitting'
  | 'extra-reading'

export interface MeanPressure {
  /** Micropascals over count. */
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  /** Beats per minute over count; absent when no reading carried a pulse. A reading without one lowers only this count. */
  readonly pulse?: ExactMean
  /** Readings averaged. */
  readonly readings: number
  /** Readings in the diastolic mean, where a protocol leaves a zero out of it; otherwise all of them. */
  readonly diastolicReadings: number
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
  /** The window whose mean it labels, under a protocol that averages windows apart. */
  readonly window?: string
}

/** How the schedule was kept; nothing is left out for it. */
export interface Adherence {
  /** Sittings the plan asks for in its days: windows times days. */
  readonly sittingsAsked: number
  /** Windows of those days with at least one complete home reading. */
  readonly sittingsHeld: number
  /** Those with fewer complete readings than the protocol's least. */
  readonly sittingsShort: number
  /** Local days of the plan without a complete home reading, in order. */
  readonly daysWithout: readonly LocalDay[]
}

/** Left less right arm; micropascals over count, negative when the right is the higher. Nothing in it is rounded. */
export interface InterArm {
  readonly leftReadings: number
  readonly rightReadings: number
  /**
   * `paired`: the mean of the differences within pairs of sittings, one on each arm in the same window of a day.
   * `unpaired`: the difference of the two arms' means, because no such pair exists.
   */
  readonly basis: 'paired' | 'unpaired'
  /** Pairs of sittings; 0 when unpaired. */
  readonly pairs: number
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  /** The arm whose readings the period uses, and whether that is the higher one. */
  readonly armUsed?: Arm
  readonly higherArm: Arm | 'neither'
  /** Every published limit, and the one of common practice, each by itself. */
  readonly limits: readonly InterArmLimit[]
}

/** One source's limit for a difference between the arms. */
export interface InterArmLimit {
  readonly citation: CitationId
  readonly limitMmHg: number
  /** Whether the source looks at the systolic difference alone. */
  readonly systolicOnly: boolean
  /** Whether the difference, either way, is above it. Compared without rounding. */
  readonly above: boolean
}

export interface WindowAverage {
  readonly window: string
  readonly mean: MeanPressure
}

/** The trustworthy pair of numbers, and everything needed to see why it is what it is. */
export interface PeriodAverage {
  readonly plan: PeriodPlan
  /** Absent when no reading counts. */
  readonly mean?: MeanPressure
  /** One entry per sitting window of the protocol that has readings, in the protocol's order. */
  readonly byWindow: readonly WindowAverage[]
  readonly used: readonly PlacedReading[]
  readonly leftOut: readonly LeftOut[]
  /** Readings received for the period: used and left out together. */
  readonly received: number
  /** The arm and the site whose readings were averaged; absent when none were, or when these do not state it. */
  readonly arm?: Arm
  readonly site?: Site
  readonly sufficiency: Sufficiency
  readonly adherence: Adherence
  /** Of the mean; of each window's mean instead under a protocol that averages windows apart. */
  readonly labels: readonly Label[]
  /** The same average without its flagged readings: what better technique would change. */
  readonly sensitivity: {
    readonly mean?: MeanPressure
    readonly labels: readonly Label[]
    /** Readings that were averaged and carry a flagged finding. */
    readonly flaggedReadings: number
  }
  readonly interArm?: InterArm
}
