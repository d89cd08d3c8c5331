import type { Database } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { at, type Gathered, gatherRows } from './gather-rows.ts'
import type { Inbox } from './inbox.ts'
import type { IdKey } from './lookup-keys.ts'
import { SittingRows, type Span } from './sitting-rows.ts'
import { sortedPlaces } from './sorted-places.ts'

/** Rows one merge covers: enough that each page of the sorted tables is written for several rows at once. */
const RUN_ROWS = 25_000
/** Sessions written between two pauses; sorting pauses by itself. */
const PIECE = 1_000

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

  const gathered = yield* gatherRows(database, sources, idKey, from, to)
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
