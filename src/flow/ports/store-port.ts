import type { AuditEntry, AuditRow } from '../../core/audit/audit-entry.ts'
import type { ChainLook, ChainPlace } from '../../core/audit/chain.ts'
import type { OutboxState } from '../../core/outbox/entry.ts'
import type { AuditFilter } from './audit-filter.ts'
import type { OutboxStore } from './outbox-store-port.ts'
import type { Page } from './page.ts'
import type { PeriodStore } from './period-store-port.ts'
import type { RegistryStore } from './registry-store-port.ts'
import type { SessionStore } from './session-store-port.ts'

/**
 * Where everything accepted lives. Every method is one transaction, durable before its promise resolves.
 * A rejected promise is a `StoreFailed`: nothing of the call was kept.
 */
export interface Store extends SessionStore, RegistryStore, PeriodStore, OutboxStore {
  recordAudit(audit: AuditEntry): Promise<void>
  /** Rows that a filter means, in order. Looked for a piece at a time, so that no other call feels the trail’s length. */
  auditPage(page: Page & AuditFilter): Promise<readonly AuditRow[]>
  /** Checks that at most `limit` audit rows after a place follow from it. */
  followAudit(after: ChainPlace, limit: number): Promise<ChainLook>

  /**
   * Why nothing can be written, as SQLite's code, such as `SQLITE_FULL`; undefined when it can. Where the last write
   * failed by what the next one would meet too, one more is tried.
   */
  writeProblem(): Promise<string | undefined>
  figures(): Promise<StoreFigures>
  close(): Promise<void>
}

export interface StoreFigures {
  readonly sessions: number
  readonly sources: number
  readonly enrolments: number
  readonly periods: number
  readonly averages: number
  readonly outbox: Readonly<Record<OutboxState, number>>
  readonly auditRows: number
  /** Durable commits of accepted sessions since the store was opened, and the records they acknowledged. */
  readonly commits: number
  readonly acknowledged: number
  /** Writes that failed since the store was opened, none of them by what was to be written, by SQLite's code. */
  readonly writeFailures: Readonly<Record<string, number>>
}
