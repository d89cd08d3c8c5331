import type { SessionRecord, StoredSession } from '../../flow/ports.ts'
import type { Database, Statement } from './database.ts'
import { type IdKey, subjectKey, uuidKey } from './lookup-keys.ts'
import { placedReadings } from './placed-readings.ts'
import { sameJsonValue } from './same-json-value.ts'
import type { SourceNumbers } from './source-numbers.ts'
import { Tail } from './tail.ts'

/** Like `Acceptance`, but a kept record is not handed back: the caller has it. */
export type Kept =
  | { readonly outcome: 'kept'; readonly seq: number }
  | { readonly outcome: 'same' | 'other'; readonly stored: StoredSession }

interface InboxRow {
  readonly seq: number
  readonly source_no: number
  readonly id: string
  readonly uuid: string
  readonly subject: string
  readonly taken_ms: number
  readonly received_at: string
  readonly sha256: string
  readonly zone: string | null
  readonly raw: string
}

/**
 * Everything accepted, in the order of acceptance. Writing only appends; rows are found through the sorted tables as
 * far as these are merged, and through the `Tail` in memory after that, so nobody waits for a merge.
 */
export class Inbox {
  readonly #database: Database
  readonly #sources: SourceNumbers
  readonly #idKey: IdKey
  readonly #insert: Statement<unknown>
  readonly #row: Statement<InboxRow>
  readonly #seqsById: Statement<{ seq: number }>
  readonly #seqsByUuid: Statement<{ seq: number }>
  readonly #mergedBetween: Statement<InboxRow>
  readonly #mergedSeqs: Statement<{ seq: number }>
  #tail = new Tail()
  #mergedTo = 0
  #last = 0

  constructor(database: Database, sources: SourceNumbers, idKey: IdKey) {
    this.#database = database
    this.#sources = sources
    this.#idKey = idKey
    this.#insert = database.prepare('INSERT INTO inbox VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)')
    this.#row = database.prepare('SELECT * FROM inbox WHERE seq = ?')
    this.#seqsById = database.prepare('SELECT seq FROM session_key WHERE key = ?')
    this.#seqsByUuid = database.prepare('SELECT seq FROM uuid_key WHERE key = ?')
    this.#mergedBetween = database.prepare(`SELECT * FROM inbox WHERE seq IN (
      SELECT seq FROM reading WHERE source_no = ? AND subject = ? AND taken_ms BETWEEN ? AND ? AND seq <= ?)`)
    this.#mergedSeqs = database.prepare(
      'SELECT DISTINCT seq FROM reading WHERE source_no = ? AND subject = ? AND seq <= ?',
    )
    database.whenStale(() => this.#reload())
  }

  /** Number of the newest row; as rows are never removed, also how many there are. */
  get last(): number {
    return this.#last
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
      return { outcome: sameContent(held.raw, record.raw) ? 'same' : 'other', stored: this.#stored(held) }
    }
    const seq = this.#last + 1
    const { id, uuid, subject, takenMs, receivedAt, sha256, zone = null, raw } = record
    this.#insert.run(seq, sourceNo, id, uuid, subject, takenMs, receivedAt, sha256, zone, raw)
    this.#remember(seq, sourceNo, record.source, id, uuid, subject, key)
    return { outcome: 'kept', seq }
  }

  bySourceAndId(source: string, id: string): StoredSession | undefined {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return undefined
    const row = this.#find(this.#idKey(source, id), sourceNo, id)
    return row && this.#stored(row)
  }

  byUuid(uuid: string): StoredSession | undefined {
    const key = uuidKey(uuid)
    const merged = Number.isNaN(key) ? [] : this.#seqsByUuid.all(key).map(({ seq }) => seq)
    const row = this.#rows([...merged, ...this.#tail.byUuid(key)]).find((row) => row.uuid === uuid)
    return row && this.#stored(row)
  }

  /** Sessions with a reading in the time given, both ends included, in time order. */
  ofSubjectBetween(source: string, subject: string, fromMs: number, toMs: number): StoredSession[] {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return []
    const merged = this.#mergedBetween.all(sourceNo, subject, fromMs, toMs, this.#mergedTo)
    const waiting = this.#tailOf(sourceNo, subject).filter(({ raw, taken_ms, zone }) =>
      placedReadings(raw, taken_ms, zone ?? undefined).some(
        ({ takenMs }) => takenMs >= fromMs && takenMs <= toMs,
      ),
    )
    return [...merged, ...waiting]
      .sort((one, other) => one.taken_ms - other.taken_ms || one.seq - other.seq)
      .map((row) => this.#stored(row))
  }

  /** All sessions of a subject, oldest acceptance first, without their text. */
  ofSubject(sourceNo: number, subject: string): readonly { readonly seq: number; readonly uuid: string }[] {
    const merged = this.#mergedSeqs.all(sourceNo, subject, this.#mergedTo).map(({ seq }) => seq)
    return [...this.#rows(merged), ...this.#tailOf(sourceNo, subject)]
      .map(({ seq, uuid }) => ({ seq, uuid }))
      .sort((one, other) => one.seq - other.seq)
  }

  #find(key: number, sourceNo: number, id: string): InboxRow | undefined {
    for (const seq of this.#tail.byId(key)) {
      const row = this.#row.get(seq)
      if (row?.source_no === sourceNo && row.id === id) return row
    }
    for (const { seq } of this.#seqsById.all(key)) {
      const row = this.#row.get(seq)
      if (row?.source_no === sourceNo && row.id === id) return row
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
    return {
      seq: row.seq,
      uuid: row.uuid,
      source: this.#sources.nameOf(row.source_no),
      id: row.id,
      subject: row.subject,
      takenMs: row.taken_ms,
      raw: row.raw,
      sha256: row.sha256,
      receivedAt: row.received_at,
      ...(row.zone === null ? {} : { zone: row.zone }),
    }
  }
}

function sameContent(held: string, sent: string): boolean {
  return held === sent || sameJsonValue(JSON.parse(held), JSON.parse(sent))
}
