import type { AuditEntry, AuditRow } from '../core/audit/audit-entry.ts'
import type { Protocol } from '../core/clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../core/clinical/protocol/threshold-set.ts'
import type { ClinicAnswer } from '../core/outbox/clinic-answer.ts'
import type { OutboxEntry, OutboxState, Settlement } from '../core/outbox/entry.ts'
import type { Destination } from '../core/registry/destination.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../core/registry/period.ts'
import type { AccessKey, Source } from '../core/registry/source.ts'

/** What the flows need of the world. Adapters in `shell` implement these; the flows know nothing else of it. */
export interface Ports {
  readonly store: Store
  readonly clinic: ClinicServers
  readonly catalogue: Catalogue
  readonly clock: Clock
  /** A number in [0, 1), for spreading retries. */
  readonly random: () => number
  readonly log: Log
  readonly policy: Policy
}

/** How this deployment waits and retries. */
export interface Policy {
  /** Time after a period's last local day in which late uploads are awaited. */
  readonly graceMs: number
  readonly delivery: DeliveryPolicy
}

export interface DeliveryPolicy {
  /** Attempts after which an entry that was never refused is given up (kept and shown, not dropped). */
  readonly maxAttempts: number
  readonly firstRetryMs: number
  readonly longestRetryMs: number
  /** How long a claim holds before another process may take the entry. */
  readonly leaseMs: number
  /** Entries posted at the same time. */
  readonly inFlight: number
}

export interface Clock {
  /** Epoch milliseconds. */
  now(): number
}

/** Structured events for operators. Never a measured value, a subject, a name, free text or a body. */
export interface Log {
  info(event: string, fields?: LogFields): void
  warn(event: string, fields?: LogFields): void
  error(event: string, fields?: LogFields): void
}
export type LogFields = Readonly<Record<string, string | number | boolean>>

/** The protocols, threshold sets and destinations of this deployment, checked at start. */
export interface Catalogue {
  readonly protocols: ReadonlyMap<string, Protocol>
  readonly thresholdSets: ReadonlyMap<string, ThresholdSet>
  readonly destinations: ReadonlyMap<string, Destination>
  /** Base of our own canonicals and identifier systems, without a trailing slash. */
  readonly canonicalBase: string
}

/** A record that was read, checked, converted and validated, ready to be kept. */
export interface SessionRecord {
  /** UUIDv5 of source and id. */
  readonly uuid: string
  readonly source: string
  readonly id: string
  readonly subject: string
  /** Epoch ms of the sitting. */
  readonly takenMs: number
  /** The record as it was received, as JSON text. */
  readonly raw: string
  /** SHA-256 of `raw`, lower-case hex. */
  readonly sha256: string
  /** RFC 3339 text in UTC. */
  readonly receivedAt: string
  /** IANA zone a wall-clock time in it was resolved with; absent when every time carried its offset. */
  readonly zone?: string
}

/** A record as it is kept. */
export interface StoredSession extends SessionRecord {
  /** Place in the inbox; rises with acceptance. */
  readonly seq: number
}

/**
 * What keeping a record came to. `same` when its id is taken by the same content (compared as JSON values, so key
 * order and spacing do not matter); `other` when the content differs, and nothing was kept.
 */
export type Acceptance =
  | { readonly outcome: 'kept'; readonly stored: StoredSession }
  | { readonly outcome: 'same'; readonly stored: StoredSession }
  | { readonly outcome: 'other'; readonly stored: StoredSession }

/**
 * Where everything accepted lives. Every method is one transaction, durable before its promise resolves.
 * A rejected promise is a `StoreFailed`: nothing of the call was kept.
 */
export interface Store {
  /**
   * Keeps records, in order, with their audit rows and, where the subject is enrolled with a destination that wants
   * readings at once, their outbox entries. Concurrent calls share one commit. One answer per record.
   */
  accept(records: readonly SessionRecord[]): Promise<readonly Acceptance[]>
  session(source: string, id: string): Promise<StoredSession | undefined>
  sessionByUuid(uuid: string): Promise<StoredSession | undefined>
  /** Sessions of a subject with a reading in [fromMs, toMs), in time order; includes everything acknowledged. */
  sessionsBetween(
    source: string,
    subject: string,
    fromMs: number,
    toMs: number,
  ): Promise<readonly StoredSession[]>

  saveSource(source: Source, audit: AuditEntry): Promise<void>
  sources(): Promise<readonly Source[]>
  saveAccessKey(key: AccessKey, audit: AuditEntry): Promise<void>
  accessKey(sha256: string): Promise<AccessKey | undefined>

  /**
   * Saves the link, and queues the sessions that arrived before it when its destination wants readings at once.
   * Returns how many were queued. Saving the same link again queues nothing twice.
   */
  saveEnrolment(enrolment: Enrolment, audit: AuditEntry): Promise<number>
  /** One answer per subject, in order. */
  enrolments(source: string, subjects: readonly string[]): Promise<readonly (Enrolment | undefined)[]>
  enrolmentPage(page: Page): Promise<readonly Enrolment[]>

  /** Opens a period; the same id again changes nothing and returns false. */
  openPeriod(period: Period, audit: AuditEntry): Promise<boolean>
  period(id: string): Promise<Period | undefined>
  periodPage(page: Page): Promise<readonly Period[]>
  duePeriods(nowMs: number, limit: number): Promise<readonly Period[]>
  /** Closes an open period with its average and queues it. False when it was closed already; nothing changes then. */
  closePeriod(
    id: string,
    average: IssuedAverage,
    destination: string,
    nowMs: number,
    audit: AuditEntry,
  ): Promise<boolean>
  issuedAverage(period: string): Promise<IssuedAverage | undefined>

  /**
   * Takes entries that are due, oldest first, at most one per destination and patient, skipping patients of whom one
   * is claimed already. A claim not settled before its lease ends is taken again: the process that held it died.
   */
  claim(nowMs: number, leaseMs: number, limit: number): Promise<readonly OutboxEntry[]>
  settle(id: number, settlement: Settlement, audit: AuditEntry): Promise<void>
  deliveryPage(page: Page & { readonly state?: OutboxState }): Promise<readonly OutboxEntry[]>
  /** Puts a given-up entry back in the queue, due now. False when there is no such entry in that state. */
  retryDelivery(id: number, nowMs: number, audit: AuditEntry): Promise<boolean>

  recordAudit(audit: AuditEntry): Promise<void>
  auditPage(page: Page): Promise<readonly AuditRow[]>

  figures(): Promise<StoreFigures>
  close(): Promise<void>
}

/**
 * Keyset page: rows after the cursor, at most `limit`. The cursor is the key of the row the previous page ended with:
 * an entry's or audit row's number in decimal, a period's id, an enrolment's source and subject as `source/subject`.
 */
export interface Page {
  readonly after?: string
  readonly limit: number
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
}

/** The doors out: post a transaction to a destination and understand every answer. */
export interface ClinicServers {
  /** Never throws for anything the server or the network does. The bundle is JSON text. */
  postTransaction(destination: Destination, bundle: string): Promise<ClinicAnswer>
}
