import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { Page } from './page.ts'
import type { PeriodClosing, PeriodFilter, PeriodWithdrawal } from './period-calls.ts'

/**
 * The part of the store that periods and their averages live in. What is promised of every method is written at `Store`.
 */
export interface PeriodStore {
  /** Opens a period; the same id again changes nothing and returns false. */
  openPeriod(period: Period, audit: AuditEntry): Promise<boolean>
  period(id: string): Promise<Period | undefined>
  periodPage(page: Page & PeriodFilter): Promise<readonly Period[]>
  duePeriods(nowMs: number, limit: number): Promise<readonly Period[]>
  periodsOf(source: string, subject: string): Promise<readonly Period[]>
  /**
   * Closes an open period. With averages, issues each and queues it for its destination; without, because nothing changed
   * since the last one, only closes. False when it was closed already; nothing changes then.
   *
   * A session that came in after `readThrough` and was followed up already found the period open still, and nobody will
   * look at it again: the period is then open again at once, and due.
   */
  closePeriod(id: string, closing: PeriodClosing, nowMs: number, audit: AuditEntry): Promise<boolean>
  /** Opens a closed period again, due at `dueMs`. False when it is open already, or was withdrawn. */
  reopenPeriod(id: string, dueMs: number, audit: AuditEntry): Promise<boolean>
  /**
   * Withdraws a period, open or closed, and issues and queues what takes its averages back. False when it was withdrawn
   * already, or has another revision by now; nothing changes then.
   */
  withdrawPeriod(id: string, withdrawal: PeriodWithdrawal, nowMs: number, audit: AuditEntry): Promise<boolean>
  /** All averages of a period, the first one first. */
  issuedAverages(period: string): Promise<readonly IssuedAverage[]>
}
