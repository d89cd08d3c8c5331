import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { IssuedAverage, PeriodState } from '../../core/registry/period.ts'

/** Which periods are meant; each key narrows. */
export interface PeriodFilter {
  readonly source?: string
  readonly subject?: string
  readonly state?: PeriodState
  readonly protocol?: string
}

/** Closing a period, with what it issues. */
export interface PeriodClosing {
  readonly average?: IssuedAverage
  /** What amends the averages of clinics that the person was linked to before, in the order of their revisions. */
  readonly elsewhere?: readonly IssuedAverage[]
  /** Inbox place up to which sessions were looked at. */
  readonly readThrough: number
  /** Whether the average is to be delivered ahead of other entries. */
  readonly urgent: boolean
  /** Whose sessions were looked at, and what is recorded where one of theirs overtook the closing. */
  readonly overtaken?: {
    readonly person: readonly Pick<Enrolment, 'source' | 'subject'>[]
    readonly audit: AuditEntry
  }
}

/** Withdrawing a period, with what takes its averages back: one for each destination, in the order of their revisions. */
export interface PeriodWithdrawal {
  /** Its revision as the withdrawal was made from. */
  readonly after: number
  readonly takenBack: readonly IssuedAverage[]
}
