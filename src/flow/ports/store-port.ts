import type { AuditEntry, AuditRow } from '../../core/audit/audit-entry.ts'
import type { ChainLook, ChainPlace } from '../../core/audit/chain.ts'
import type { AttentionCode } from '../../core/clinical/finding.ts'
import type { OutboxState } from '../../core/outbox/entry.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { IssuedAverage, Period } from '../../core/registry/period.ts'
import type { AccessKey, Source } from '../../core/registry/source.ts'
import type { AuditFilter } from './audit-filter.ts'
import type { ListedEnrolment } from './listed-enrolment.ts'
import type { OutboxStore } from './outbox-store-port.ts'
import type { Page } from './page.ts'
import type { PeriodClosing, PeriodFilter, PeriodWithdrawal } from './period-calls.ts'
import type { SweepRequest, SweptAverage } from './swept-average.ts'
import type { WaitingSubject } from './waiting-subject.ts'

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
  /** What in it asks for prompt attention, as far as it can be told from the record alone; absent for nothing. */
  readonly attention?: readonly AttentionCode[]
  /** What a mapping made it of; absent when it came as a session record. */
  readonly mappedFrom?: MappedFrom
  /** Id of the API key it came with, for its audit row; absent when it came without one. */
  readonly key?: string
}

/** A record in the source's own format, as it was sent. */
export interface MappedFrom {
  readonly mapping: string
  /** SHA-256 of the mapping document, lower-case hex. */
  readonly mappingSha256: string
  /** The source's own text; of several records, one after the other, each ended by a line feed. */
  readonly sent: string
}

/** A record as it is kept. What it was mapped from is asked for apart. */
export interface StoredSession extends Omit<SessionRecord, 'mappedFrom' | 'key'> {
  /** Place in the inbox; rises with acceptance. */
  readonly seq: number
  /** 1 as first received; one more for each correction and for a withdrawal. */
  readonly version: number
  /** Taken back by its source. `raw` is then that of the version before. */
  readonly withdrawn: boolean
}

/**
 * What keeping a record came to. `same` when its id is taken by the same content (compared as JSON values, so key
 * order and spacing do not matter); `other` when the content differs or the session was withdrawn, and nothing was
 * kept.
 */
export type Acceptance =
  | { readonly outcome: 'kept'; readonly stored: StoredSession }
  | { readonly outcome: 'same'; readonly stored: StoredSession }
  | { readonly outcome: 'other'; readonly stored: StoredSession }

/** What a correction came to: `same` when the content is the one held, `withdrawn` when the session was taken back. */
export type Correction =
  | { readonly outcome: 'kept' | 'corrected' | 'same'; readonly stored: StoredSession }
  | { readonly outcome: 'withdrawn' | 'other-subject'; readonly stored: StoredSession }

/** What saving a link set in motion. */
export interface LinkSaved {
  /** Sessions that arrived before it, and are queued. */
  readonly queued: number
  /** What its destination was given under another patient, and is queued to be brought over. */
  readonly moving: number
}

/** Sessions accepted, corrected or withdrawn since the last follow-up, grouped by person. */
export interface Arrivals {
  /** Inbox place up to which this goes. */
  readonly throughSeq: number
  readonly people: readonly ArrivedPerson[]
}

export interface ArrivedPerson {
  readonly source: string
  readonly subject: string
  /** Span of all readings of these sessions, and of the version before where one was changed; epoch ms, ends included. */
  readonly fromMs: number
  readonly toMs: number
  /** UUIDs, oldest acceptance first. */
  readonly sessions: readonly string[]
  /** Whether one of them reports an irregular pulse. */
  readonly irregularPulse: boolean
  /** Whether the person's sessions from a day before to a day after these state both arms. */
  readonly bothArms: boolean
  /** Whether the same span includes a sitting stated as standing and one stated as not. */
  readonly stoodUp: boolean
}

/**
 * Where everything accepted lives. Every method is one transaction, durable before its promise resolves.
 * A rejected promise is a `StoreFailed`: nothing of the call was kept.
 */
export interface Store extends OutboxStore {
  /**
   * Keeps records, in order, with their audit rows and, where the subject is enrolled with a destination that wants
   * readings at once, their outbox entries. Concurrent calls share one commit. One answer per record.
   */
  accept(records: readonly SessionRecord[]): Promise<readonly Acceptance[]>
  /**
   * Replaces what a source said under an id: every version is kept and the newest counts. Keeps it as new when the
   * source never sent that id. Queues it like a new session, and also where an earlier version was queued.
   */
  correct(record: SessionRecord, audit: AuditEntry): Promise<Correction>
  /** Takes a session back; again changes nothing. Undefined when there is none. */
  withdraw(
    source: string,
    id: string,
    receivedAt: string,
    audit: AuditEntry,
  ): Promise<StoredSession | undefined>
  /** All versions of a session, the first one first; empty when there is none. */
  sessionVersions(uuid: string): Promise<readonly StoredSession[]>
  /** The newest version; so do the two below. */
  session(source: string, id: string): Promise<StoredSession | undefined>
  sessionByUuid(uuid: string): Promise<StoredSession | undefined>
  /** What the version at an inbox place was mapped from; undefined when it came as a session record. */
  mappedFrom(seq: number): Promise<MappedFrom | undefined>
  /**
   * Sessions of a subject with a reading in [fromMs, toMs), in time order; includes everything acknowledged, and what was
   * withdrawn.
   */
  sessionsBetween(
    source: string,
    subject: string,
    fromMs: number,
    toMs: number,
  ): Promise<readonly StoredSession[]>

  /** Place of the newest row of the inbox; 0 for none. */
  newestSeq(): Promise<number>

  /** What came in since the last follow-up, at most `limit` sessions; undefined when all was followed. */
  unfollowed(limit: number): Promise<Arrivals | undefined>
  markFollowed(throughSeq: number): Promise<void>
  /** Queues a call for attention about a session, ahead of all else; once for each code. False when it was before. */
  raiseAttention(
    session: string,
    code: AttentionCode,
    destination: string,
    nowMs: number,
    audit: AuditEntry,
  ): Promise<boolean>

  /**
   * Averages every enrolment under one protocol, in the order of source and subject, without holding up anything else.
   * Who has no reading received for the days is not among them; nor is who is not enrolled, whose days are not known.
   */
  sweep(request: SweepRequest): AsyncIterable<readonly SweptAverage[]>

  saveSource(source: Source, audit: AuditEntry): Promise<void>
  sources(): Promise<readonly Source[]>
  saveAccessKey(key: AccessKey, audit: AuditEntry): Promise<void>
  /** The key of a digest, as it stands at this moment whoever changed it; undefined when it was revoked. */
  accessKey(sha256: string): Promise<AccessKey | undefined>
  /** All keys, revoked ones too, in the order in which they were made. */
  accessKeys(): Promise<readonly AccessKey[]>
  /** Revokes a key by its id, from the moment of the audit row on. False when there is none that is valid. */
  revokeAccessKey(id: string, audit: AuditEntry): Promise<boolean>

  /**
   * Saves the link, and queues the sessions that arrived before it when its destination wants readings at once.
   * Saving the same link again queues nothing twice. What this destination was not given because the patient was not
   * matched or nobody was enrolled is put back in the queue. What it may hold under another patient is queued to be
   * brought over to this one, and the audit row says how many that are.
   */
  saveEnrolment(enrolment: Enrolment, audit: AuditEntry): Promise<LinkSaved>
  /** One answer per subject, in order. */
  enrolments(source: string, subjects: readonly string[]): Promise<readonly (Enrolment | undefined)[]>
  /** How a subject's patient was known at a destination that it was linked to before the one it is linked to now. */
  earlierPatient(
    source: string,
    subject: string,
    destination: string,
  ): Promise<Enrolment['patient'] | undefined>
  /** All that link to one patient of a destination, compared exactly; of one source or of several. */
  enrolmentsOf(patient: Enrolment['patient'], destination: string): Promise<readonly Enrolment[]>
  /** Enrolments as they are now that are linked to another destination, and were to this patient of this one before. */
  onceEnrolledTo(patient: Enrolment['patient'], destination: string): Promise<readonly Enrolment[]>
  /** In the order in which their sources were registered, then of the subjects; only of one source where it is named. */
  enrolmentPage(page: Page & { readonly source?: string }): Promise<readonly ListedEnrolment[]>
  /**
   * Subjects of a source that sent sessions and are not enrolled, in the order of their names. Asks about each subject
   * that sent something, in steps between which other calls come in, until the page is full.
   */
  waitingSubjects(source: string, page: Page): Promise<readonly WaitingSubject[]>

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
