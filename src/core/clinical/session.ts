import type { Instant } from '../basics/instant.ts'
import type { Pressure } from '../basics/pressure.ts'

/**
 * One sitting: the readings a person took one after the other, and how they were taken. Nothing in it is ever altered.
 * With setting `ambulatory` it is one recording over a day and a night, and `takenAt` is when it began.
 */
export interface Session {
  /** Unique within its source. With the source it is the idempotency key. */
  readonly id: string
  /** The source's own id for the person. Never a clinic's identifier: an enrolment links the two. */
  readonly subject: string
  readonly takenAt: Instant
  /** The monitor had no clock: every time of the sitting is when the app received it. Absent: as the monitor said. */
  readonly timeFrom?: 'receipt'
  readonly setting: Setting
  /** Absent, like arm and site: the source did not state it. Never taken for the usual one. */
  readonly position?: Position
  readonly arm?: Arm
  readonly site?: Site
  readonly readings: readonly Reading[]
  readonly entry: Entry
  /** What the person reported about how they measured. An absent answer was not asked, and never means "fine". */
  readonly conditions: Conditions
  readonly device?: MonitorDevice
  readonly note?: string
  /** Inflations the recorder tried, failed ones included; never fewer than `readings`. Of a 24-hour recording only. */
  readonly attempts?: number
  /** Going to bed and rising, by the person's diary; `from` is earlier. Of a 24-hour recording only. */
  readonly sleep?: { readonly from: Instant; readonly to: Instant }
}

/** One inflation of the cuff. */
export interface Reading {
  /** 1-based place in the sitting. */
  readonly ordinal: number
  /** Absent when the source gave no time of its own: the sitting's time then stands for it, and gaps are unknown. */
  readonly takenAt?: Instant
  /** Null when the monitor gave none; never both null. A diastolic of 0: heard to zero, by a person who listened. */
  readonly systolic: Pressure | null
  readonly diastolic: Pressure | null
  /** Beats per minute. */
  readonly pulse?: number
  readonly monitorSays?: MonitorSays
}

/** What the monitor itself reported; absent means it does not look for it or did not say. */
export interface MonitorSays {
  readonly bodyMovement?: boolean
  readonly cuffTooLoose?: boolean
  readonly irregularPulse?: boolean
  readonly improperPosition?: boolean
}

export type Setting = 'home' | 'clinic' | 'public-kiosk' | 'ambulatory'
export type Position = 'sitting' | 'standing' | 'lying' | 'semi-recumbent'
export type Arm = 'left' | 'right'
export type Site = 'upper-arm' | 'wrist'
export type Entry = 'transferred' | 'typed'

export interface Conditions {
  readonly restMinutes?: number
  readonly backSupported?: boolean
  readonly feetFlat?: boolean
  readonly legsCrossed?: boolean
  readonly armSupported?: boolean
  /** Where the arm with the cuff lay: on a surface such as a desk, on the lap, or hanging at the side. */
  readonly armRest?: 'surface' | 'lap' | 'hanging'
  /** Centimetres of the cuff's middle above (+) or below (-) the heart. */
  readonly cuffHeight?: { readonly relativeToHeartCm: number }
  readonly cuffOver?: 'bare-arm' | 'thin-sleeve' | 'thick-sleeve'
  /** The arm circumferences the cuff is made for, in centimetres, as its label says. */
  readonly cuffFor?: { readonly minCm: number; readonly maxCm: number }
  readonly cuffEdgeAboveElbowCm?: number
  readonly fingersUnderCuff?: number
  readonly talking?: boolean
  readonly moving?: boolean
  readonly bladderFull?: boolean
  readonly pain?: boolean
  /** The room or the person was cold. */
  readonly cold?: boolean
  /** Minutes since each; null means "not today", absent means not asked. */
  readonly minutesSince?: {
    readonly caffeine?: number | null
    readonly nicotine?: number | null
    readonly alcohol?: number | null
    readonly exercise?: number | null
    readonly meal?: number | null
  }
  /** Measured before or after the day's pressure medicine. */
  readonly medication?: 'before' | 'after'
}

export interface MonitorDevice {
  readonly manufacturer?: string
  readonly model?: string
  readonly serial?: string
  readonly kind?: 'upper-arm-automatic' | 'wrist-automatic' | 'upper-arm-manual'
}

/** When a reading was taken, as far as the record says. */
export function timeOf(reading: Reading, session: Session): Instant {
  return reading.takenAt ?? session.takenAt
}
