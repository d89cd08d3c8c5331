import type { SessionRecord, StoredSession } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { hasReadingIn, type InboxRow, newestOf, sameContent, storedSession } from './inbox-row.ts'
import { type IdKey, subjectKey, uuidKey } from './lookup-keys.ts'
import { SittingRows } from './sitting-rows.ts'
import { Tail } from './tail.ts'

/** Like `Acceptance`, but a kept record is not handed back: the caller has it. */
export type Kept =
  | { readonly outcome: 'kept'; readonly seq: number }
  | { readonly outcome: 'same' | 'other'; readonly stored: StoredSession }

/** What stands in place of a version: a correction, or the same text taken back. */
export type NextVersion = Pick<SessionRecord, 'takenMs' | 'receivedAt' | 'sha256' | 'zone' | 'raw'> &
  Pick<StoredSession, 'withdrawn'>

/**
 * Every version of everything accepted, in the order of acceptance. Writing only appends; rows are found through the
 * sorted tables as far as these are merged, and through the `Tail` in memory after that, so nobody waits for a merge.
 */
export class Inbox {
  readonly #database: Database
  readonly #sources: SourceNumbers
  readonly #idKey: IdKey
  readonly #insert: Statement<unknown>
  readonly #row: Statement<InboxRow>
  readonly #seqsById: Statement<{ seq: number }>
  readonly #seqsByUuid: Statement<{ seq: number }>
  readonly #replacing: Statement<{ rows: number }>
  readonly #sittings: SittingRows
  #tail = new Tail()
  #mergedTo = 0
  #last = 0

  constructor(database: Database, sources: SourceNumbers, idKey: IdKey) {
    this.#database = database
    this.#sources = sources
    this.#idKey = idKey
    this.#insert = database.prepare('INSERT INTO inbox VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)')
    this.#row = database.prepare('SELECT * FROM inbox WHERE seq = ?')
    this.#seqsById = database.prepare('SELECT seq FROM session_key WHERE key = ? ORDER BY seq DESC')
    this.#seqsByUuid = database.prepare('SELECT seq FROM uuid_key WHERE key = ? ORDER BY seq DESC')
    this.#replacing = database.prepare('SELECT count(*) AS rows FROM inbox WHERE replaces IS NOT NULL')
    this.#sittings = new SittingRows(database)
    database.whenStale(() => this.#reload())
  }

  /** Number of the newest row; as rows are never removed, also how many there are. */
  get last(): number {
    return this.#last
  }

  /** Sessions, whatever the number of their versions. */
  countSessions(): number {
    return this.#last - (this.#replacing.get()?.rows ?? 0)
  }

  /** The sorted tables cover the rows up to this one. */
  get mergedTo(): number {
    return this.#mergedTo
  }

  get unmerged(): number {
    return this.#tail.size
  }

  /** To be called in the transaction that records the merge. */
  setMergedTo(seq: number): void {
    this.#tail = this.#tail.after(seq)
    this.#mergedTo = seq
  }

  keep(record: SessionRecord, sourceNo: number): Kept {
    const key = this.#idKey(record.source, record.id)
    const held = this.#find(key, sourceNo, record.id)
    if (held !== undefined) {
      const same = held.withdrawn === 0 && sameContent(held.raw, record.raw)
      return { outcome: same ? 'same' : 'other', stored: this.#stored(held) }
    }
    const seq = this.#last + 1
    const { id, uuid, subject, takenMs, receivedAt, sha256, zone = null, raw } = record
    this.#insert.run(seq, sourceNo, id, uuid, subject, takenMs, receivedAt, sha256, zone, raw, 1, 0, null)
    this.#remember(seq, sourceNo, record.source, id, uuid, subject, key)
    return { outcome: 'kept', seq }
  }

  /** Appends the version that follows `held`, under the same UUID. */
  appendVersion(held: StoredSession, next: NextVersion): StoredSession {
    const seq = this.#last + 1
    const sourceNo = this.#sources.assign(held.source)
    const { source, id, uuid, subject } = held
    const { takenMs, receivedAt, sha256, zone, raw, withdrawn } = next
    const version = held.version + 1
    const flag = withdrawn ? 1 : 0
    this.#insert.run(
      seq,
      sourceNo,
      id,
      uuid,
      subject,
      takenMs,
      receivedAt,
      sha256,
      zone ?? null,
      raw,
      version,
      flag,
      held.seq,
    )
    this.#remember(seq, sourceNo, source, id, uuid, subject)
    return {
      seq,
      uuid,
      source,
      id,
      subject,
      takenMs,
      raw,
      sha256,
      receivedAt,
      version,
      withdrawn,
      ...(zone === undefined ? {} : { zone }),
    }
  }

  bySourceAndId(source: string, id: string): StoredSession | undefined {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return undefined
    const row = this.#find(this.#idKey(source, id), sourceNo, id)
    return row && this.#stored(row)
  }

  byUuid(uuid: string): StoredSession | undefined {
    const row = this.#findUuid(uuid)
    return row && this.#stored(row)
  }

  /** All versions of a session, the first one first. */
  versions(uuid: string): StoredSession[] {
    const newestFirst: StoredSession[] = []
    for (
      let row = this.#findUuid(uuid);
      row !== undefined;
      row = row.replaces === null ? undefined : this.#row.get(row.replaces)
    ) {
      newestFirst.push(this.#stored(row))
    }
    return newestFirst.reverse()
  }

  /** Sessions with a reading in the time given, both ends included, in time order. */
  ofSubjectBetween(source: string, subject: string, fromMs: number, toMs: number): StoredSession[] {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return []
    const merged = this.#sittings.between(sourceNo, subject, fromMs, toMs, this.#mergedTo)
    const mergedTo = this.#mergedTo
    return newestOf(this.#rows(merged.map(({ seq }) => seq)), this.#tailOf(sourceNo, subject))
      .filter((row) => row.seq <= mergedTo || hasReadingIn(row, fromMs, toMs))
      .sort((one, other) => one.taken_ms - other.taken_ms || one.seq - other.seq)
      .map((row) => this.#stored(row))
  }

  /** The newest version of all sessions of a subject, oldest acceptance first. */
  ofSubject(sourceNo: number, subject: string): readonly InboxRow[] {
    const merged = this.#sittings.of(sourceNo, subject, this.#mergedTo).map(({ seq }) => seq)
    return newestOf(this.#rows(merged), this.#tailOf(sourceNo, subject)).sort(
      (one, other) => one.seq - other.seq,
    )
  }

  #find(key: number, sourceNo: number, id: string): InboxRow | undefined {
    const waiting = this.#tail.byId(key)
    const isIt = (row: InboxRow) => row.source_no === sourceNo && row.id === id
    return (
      (waiting.length === 0 ? undefined : this.#first(newestFirst(waiting), isIt)) ??
      this.#first(
        this.#seqsById.all(key).map(({ seq }) => seq),
        isIt,
      )
    )
  }

  #findUuid(uuid: string): InboxRow | undefined {
    const key = uuidKey(uuid)
    if (Number.isNaN(key)) return undefined
    const isIt = (row: InboxRow) => row.uuid === uuid
    return (
      this.#first(newestFirst(this.#tail.byUuid(key)), isIt) ??
      this.#first(
        this.#seqsByUuid.all(key).map(({ seq }) => seq),
        isIt,
      )
    )
  }

  #first(seqs: readonly number[], isIt: (row: InboxRow) => boolean): InboxRow | undefined {
    for (const seq of seqs) {
      const row = this.#row.get(seq)
      if (row !== undefined && isIt(row)) return row
    }
    return undefined
  }

  #tailOf(sourceNo: number, subject: string): InboxRow[] {
    return this.#rows(this.#tail.bySubject(subjectKey(sourceNo, subject))).filter(
      (row) => row.source_no === sourceNo && row.subject === subject,
    )
  }

  #rows(seqs: readonly number[]): InboxRow[] {
    return seqs.flatMap((seq) => this.#row.get(seq) ?? [])
  }

  #remember(
    seq: number,
    sourceNo: number,
    source: string,
    id: string,
    uuid: string,
    subject: string,
    key = this.#idKey(source, id),
  ): void {
    this.#tail.add({ seq, idKey: key, uuidKey: uuidKey(uuid), subjectKey: subjectKey(sourceNo, subject) })
    this.#last = seq
  }

  #reload(): void {
    this.#tail = new Tail()
    this.#mergedTo = this.#database.prepare<{ seq: number }>('SELECT seq FROM merged').get()?.seq ?? 0
    this.#last = this.#mergedTo
    const rows = this.#database.prepare<Pick<InboxRow, 'seq' | 'source_no' | 'id' | 'uuid' | 'subject'>>(
      'SELECT seq, source_no, id, uuid, subject FROM inbox WHERE seq > ? ORDER BY seq',
    )
    for (const { seq, source_no, id, uuid, subject } of rows.iterate(this.#mergedTo)) {
      this.#remember(seq, source_no, this.#sources.nameOf(source_no), id, uuid, subject)
    }
  }

  #stored(row: InboxRow): StoredSession {
    return storedSession(row, this.#sources.nameOf(row.source_no))
  }
}

function newestFirst(seqs: readonly number[]): number[] {
  return [...seqs].sort((one, other) => other - one)
}
