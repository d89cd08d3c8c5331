import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { AttentionCode } from '../../core/clinical/finding.ts'
import type { SweepRequest, SweptAverage } from './swept-average.ts'

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
  /** Those of them that were corrected or withdrawn. */
  readonly changed: readonly string[]
  /** Whether one of them reports an irregular pulse. */
  readonly irregularPulse: boolean
  /** Whether the person's sessions from a day before to a day after these state both arms. */
  readonly bothArms: boolean
  /** Whether the same span includes a sitting stated as standing and one stated as not. */
  readonly stoodUp: boolean
}

/** The part of the store that sessions live in. What is promised of every method is written at `Store`. */
export interface SessionStore {
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
}
