import type { Database } from './database.ts'
import type { Inbox } from './inbox.ts'
import { type IdKey, uuidKey } from './lookup-keys.ts'
import { placedSitting } from './placed-sitting.ts'
import { type PackedSitting, packedSitting, SittingRows, type Span } from './sitting-rows.ts'
import { sortedPlaces } from './sorted-places.ts'
import type { SourceNumbers } from './source-numbers.ts'

/** Rows one merge covers: enough that each page of the sorted tables is written for several rows at once. */
const RUN_ROWS = 25_000
/** Rows read, or sessions written, between two pauses; sorting pauses by itself. */
const PIECE = 1_000

interface Row {
  readonly seq: number
  readonly source_no: number
  readonly id: string
  readonly uuid: string
  readonly subject: string
  readonly taken_ms: number
  readonly zone: string | null
  readonly raw: string
  readonly withdrawn: 0 | 1
  readonly replaces: number | null
}

interface Gathered {
  readonly seqs: number[]
  readonly idKeys: number[]
  readonly uuidKeys: number[]
  /** Source number, then subject, then id. */
  readonly sourceNos: number[]
  readonly subjects: string[]
  readonly ids: string[]
  readonly sittings: PackedSitting[]
  /** Later versions, which take the place of another row. */
  readonly replacing: Replacing[]
  /** Rows that a later row of the same run replaces. */
  readonly replaced: Set<number>
}

interface Replacing {
  /** Where it stands among what was gathered. */
  readonly place: number
  /** First readings of all earlier versions: under one of them the version before stands. */
  readonly earlierFirstMs: readonly number[]
  readonly earlier: Span
}

/**
 * Fills the sorted tables with the inbox rows that they do not cover yet, each table in its own order, so that a page
 * is written once for many rows instead of once for each.
 *
 * It pauses often, and what is between two pauses is one short transaction. The mark `merged` moves in the last one,
 * and in that one each later version takes the place of the one before it, so that a reader sees one of the two and
 * never neither. When the program stops before that, the same rows are merged again, which changes nothing: every row
 * of the sorted tables is made from inbox rows alone and goes in once. When another process moved the mark meanwhile,
 * what is left is not written, because it may have replaced some of it.
 */
export function* mergeRun(
  database: Database,
  inbox: Inbox,
  sources: SourceNumbers,
  idKey: IdKey,
): Generator<void, void> {
  const from = database.read(() => inbox.mergedTo)
  const to = Math.min(inbox.last, from + RUN_ROWS)
  if (to === from) return

  /** All of `work` in one transaction. False when the mark was moved by somebody else, and nothing was done. */
  const write = (work: () => void): boolean =>
    database.write(() => {
      if (inbox.mergedTo !== from) return false
      work()
      return true
    })

  const gathered = yield* gather(database, sources, idKey, from, to)
  if (!(yield* writeKeys(database, write, 'session_key', gathered.idKeys, gathered.seqs))) return
  if (!(yield* writeKeys(database, write, 'uuid_key', gathered.uuidKeys, gathered.seqs))) return
  const sittings = new SittingRows(database)
  if (!(yield* writeSittings(sittings, write, gathered))) return

  const mark = database.prepare('UPDATE merged SET seq = ?, longest_ms = max(longest_ms, ?)')
  const longestMs = gathered.sittings.reduce((longest, { reachMs }) => Math.max(longest, reachMs), 0)
  write(() => {
    writeReplacing(sittings, gathered)
    mark.run(to, longestMs)
    inbox.setMergedTo(to)
  })
}

function* gather(
  database: Database,
  sources: SourceNumbers,
  idKey: IdKey,
  from: number,
  to: number,
): Generator<void, Gathered> {
  const gathered: Gathered = {
    seqs: [],
    idKeys: [],
    uuidKeys: [],
    sourceNos: [],
    subjects: [],
    ids: [],
    sittings: [],
    replacing: [],
    replaced: new Set(),
  }
  const select = database.prepare<Row>(
    `SELECT seq, source_no, id, uuid, subject, taken_ms, zone, raw, withdrawn, replaces
     FROM inbox WHERE seq > ? AND seq <= ? ORDER BY seq`,
  )
  for (let low = from; low < to; low += PIECE) {
    database.read(() => {
      for (const row of select.all(low, Math.min(low + PIECE, to))) {
        if (row.replaces !== null) {
          gathered.replacing.push({ place: gathered.seqs.length, ...earlierVersions(database, row.replaces) })
          gathered.replaced.add(row.replaces)
        }
        gathered.seqs.push(row.seq)
        gathered.idKeys.push(idKey(sources.nameOf(row.source_no), row.id))
        gathered.uuidKeys.push(uuidKey(row.uuid))
        gathered.sourceNos.push(row.source_no)
        gathered.subjects.push(row.subject)
        gathered.ids.push(row.id)
        gathered.sittings.push(
          packedSitting(placedSitting(row.raw, row.taken_ms, row.zone, row.withdrawn === 1)),
        )
      }
    })
    yield
  }
  return gathered
}

/** Where a version and all before it stood in time. */
function earlierVersions(database: Database, seq: number): Pick<Replacing, 'earlierFirstMs' | 'earlier'> {
  const select = database.prepare<Pick<Row, 'raw' | 'taken_ms' | 'zone' | 'replaces'>>(
    'SELECT raw, taken_ms, zone, replaces FROM inbox WHERE seq = ?',
  )
  const spans: Span[] = []
  for (let next: number | null = seq; next !== null; ) {
    const row = select.get(next)
    if (row === undefined) throw new Error(`there is no inbox row ${next}`)
    spans.push(placedSitting(row.raw, row.taken_ms, row.zone))
    next = row.replaces
  }
  const earlierFirstMs = spans.map(({ firstMs }) => firstMs)
  return {
    earlierFirstMs,
    earlier: {
      firstMs: Math.min(...earlierFirstMs),
      lastMs: Math.max(...spans.map(({ lastMs }) => lastMs)),
    },
  }
}

type Write = (work: () => void) => boolean

function* writeKeys(
  database: Database,
  write: Write,
  table: 'session_key' | 'uuid_key',
  keys: readonly number[],
  seqs: readonly number[],
): Generator<void, boolean> {
  const order = yield* sortedPlaces(keys.length, (one, other) => at(keys, one) - at(keys, other))
  const insert = database.prepare(`INSERT OR IGNORE INTO ${table} VALUES (?, ?)`)
  for (const piece of pieces(order)) {
    const written = write(() => {
      for (const place of piece) insert.run(at(keys, place), at(seqs, place))
    })
    if (!written) return false
    yield
  }
  return true
}

/** All that are the first version of their session, and the newest of this run. */
function* writeSittings(rows: SittingRows, write: Write, gathered: Gathered): Generator<void, boolean> {
  const { sourceNos, subjects, seqs, replacing, replaced } = gathered
  const order = yield* sortedPlaces(seqs.length, (one, other) => {
    const bySource = at(sourceNos, one) - at(sourceNos, other)
    if (bySource !== 0) return bySource
    const subject = at(subjects, one)
    const otherSubject = at(subjects, other)
    return subject < otherSubject ? -1 : subject > otherSubject ? 1 : 0
  })
  const later = new Set(replacing.map(({ place }) => place))
  for (const piece of pieces(order)) {
    const written = write(() => {
      for (const place of piece) {
        if (!later.has(place) && !replaced.has(at(seqs, place))) add(rows, gathered, place)
      }
    })
    if (!written) return false
    yield
  }
  return true
}

function writeReplacing(rows: SittingRows, gathered: Gathered): void {
  const { sourceNos, subjects, ids, seqs, replacing, replaced } = gathered
  for (const { place, earlierFirstMs, earlier } of replacing) {
    if (replaced.has(at(seqs, place))) continue
    for (const firstMs of earlierFirstMs) {
      rows.remove(at(sourceNos, place), at(subjects, place), at(ids, place), firstMs)
    }
    add(rows, gathered, place, earlier)
  }
}

function add(rows: SittingRows, gathered: Gathered, place: number, earlier?: Span): void {
  const { sourceNos, subjects, ids, seqs, sittings } = gathered
  rows.add(
    at(sourceNos, place),
    at(subjects, place),
    at(ids, place),
    at(seqs, place),
    at(sittings, place),
    earlier,
  )
}

function* pieces(order: Uint32Array): Generator<Uint32Array, void> {
  for (let from = 0; from < order.length; from += PIECE) yield order.subarray(from, from + PIECE)
}

function at<T>(items: readonly T[], place: number): T {
  const item = items[place]
  if (item === undefined) throw new Error(`nothing was gathered at ${place}`)
  return item
}
