import type { LocalDay } from '../basics/local-day.ts'
import type { Arm } from '../clinical/session.ts'

/**
 * - `open`: nothing was averaged yet, or what changed since was not.
 * - `closed`: its average is issued.
 * - `withdrawn`: it was opened by mistake. Kept for ever, and nothing opens it again; its averages are taken back.
 */
export const PERIOD_STATES = ['open', 'closed', 'withdrawn'] as const
export type PeriodState = (typeof PERIOD_STATES)[number]

/**
 * The local days a patient measures under a protocol. Closed when due; its average is then issued. A session that comes
 * late, is corrected or is withdrawn opens it again, and where that changes the average, an amended one follows.
 */
export interface Period {
  /**
   * UUIDv5 of source, subject, protocol and first day, and of how many such periods were withdrawn before: opening the
   * same period twice is the same period.
   */
  readonly id: string
  readonly source: string
  readonly subject: string
  /** Id of the protocol document. */
  readonly protocol: string
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  readonly arm?: Arm
  readonly state: PeriodState
  /** When it may be closed: the end of the last local day plus the grace for late uploads. Epoch ms. */
  readonly dueMs: number
  /** Averages issued so far: 0 before the first close, more than 1 once amended or taken back. */
  readonly revision: number
  /** Everything accepted up to this inbox place was looked at when it was last closed. */
  readonly readThrough?: number
}

/** The average as it was issued, kept as it was sent. */
export interface IssuedAverage {
  readonly period: string
  /** 1 for the first; one more for each that follows, whichever destination it is for. The one before stays readable. */
  readonly revision: number
  /** Which destination it was issued for: its person may be linked to another by now. */
  readonly destination: string
  /** RFC 3339 text. */
  readonly issued: string
  /** The FHIR transaction Bundle, as JSON text. */
  readonly bundle: string
  /** The plain summary shown to people and returned by the API, as JSON text. */
  readonly summary: string
  /** Names what a destination asked for when it was rendered; absent for averages of earlier releases. */
  readonly form?: string
  /** It takes the average before it back, because its period was withdrawn. */
  readonly takesBack?: true
}

/** Of a period's averages, those that one destination was issued. */
export function averagesFor(
  destination: string,
  averages: readonly IssuedAverage[],
): readonly IssuedAverage[] {
  return averages.filter((one) => one.destination === destination)
}
