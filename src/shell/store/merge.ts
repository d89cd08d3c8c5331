import type { Database } from './database.ts'
import type { Inbox } from './inbox.ts'
import { type IdKey, uuidKey } from './lookup-keys.ts'
import { type PlacedReading, placedReadings } from './placed-readings.ts'
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
}

interface Gathered {
  readonly seqs: number[]
  readonly idKeys: number[]
  readonly uuidKeys: number[]
  /** Source number, then subject. */
  readonly sourceNos: number[]
  readonly subjects: string[]
  readonly readings: (readonly PlacedReading[])[]
}

/**
 * Fills the sorted tables with the inbox rows that they do not cover yet, each table in its own order, so that a page
 * is written once for many rows instead of once for each.
 *
 * It pauses often, and what is between two pauses is one short transaction. The mark `merged` moves in the last one.
 * When the program stops before that, the same rows are merged again, which changes nothing: every row of the sorted
 * tables is made from its inbox row alone and goes in once.
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

  const gathered: Gathered = { seqs: [], idKeys: [], uuidKeys: [], sourceNos: [], subjects: [], readings: [] }
  const select = database.prepare<Row>(
    'SELECT seq, source_no, id, uuid, subject, taken_ms, zone, raw FROM inbox WHERE seq > ? AND seq <= ? ORDER BY seq',
  )
  for (let low = from; low < to; low += PIECE) {
    for (const row of database.read(() => select.all(low, Math.min(low + PIECE, to)))) {
      gathered.seqs.push(row.seq)
      gathered.idKeys.push(idKey(sources.nameOf(row.source_no), row.id))
      gathered.uuidKeys.push(uuidKey(row.uuid))
      gathered.sourceNos.push(row.source_no)
      gathered.subjects.push(row.subject)
      gathered.readings.push(placedReadings(row.raw, row.taken_ms, row.zone ?? undefined))
    }
    yield
  }

  yield* writeKeys(database, 'session_key', gathered.idKeys, gathered.seqs)
  yield* writeKeys(database, 'uuid_key', gathered.uuidKeys, gathered.seqs)
  yield* writeReadings(database, gathered)

  const mark = database.prepare('UPDATE merged SET seq = max(seq, ?)')
  database.write(() => {
    mark.run(to)
    inbox.setMergedTo(Math.max(inbox.mergedTo, to))
  })
}

function* writeKeys(
  database: Database,
  table: 'session_key' | 'uuid_key',
  keys: readonly number[],
  seqs: readonly number[],
): Generator<void, void> {
  const order = yield* sortedPlaces(keys.length, (one, other) => at(keys, one) - at(keys, other))
  const insert = database.prepare(`INSERT OR IGNORE INTO ${table} VALUES (?, ?)`)
  for (const piece of pieces(order)) {
    database.write(() => {
      for (const place of piece) insert.run(at(keys, place), at(seqs, place))
    })
    yield
  }
}

function* writeReadings(database: Database, gathered: Gathered): Generator<void, void> {
  const { sourceNos, subjects, seqs, readings } = gathered
  const order = yield* sortedPlaces(seqs.length, (one, other) => {
    const bySource = at(sourceNos, one) - at(sourceNos, other)
    if (bySource !== 0) return bySource
    const subject = at(subjects, one)
    const otherSubject = at(subjects, other)
    return subject < otherSubject ? -1 : subject > otherSubject ? 1 : 0
  })
  const insert = database.prepare('INSERT OR IGNORE INTO reading VALUES (?, ?, ?, ?, ?, ?, ?, ?)')
  for (const piece of pieces(order)) {
    database.write(() => {
      for (const place of piece) {
        const sourceNo = at(sourceNos, place)
        const subject = at(subjects, place)
        const seq = at(seqs, place)
        for (const reading of at(readings, place)) {
          const { takenMs, ordinal, systolicMicroPascals, diastolicMicroPascals, pulse } = reading
          insert.run(
            sourceNo,
            subject,
            takenMs,
            seq,
            ordinal,
            systolicMicroPascals,
            diastolicMicroPascals,
            pulse,
          )
        }
      }
    })
    yield
  }
}

function* pieces(order: Uint32Array): Generator<Uint32Array, void> {
  for (let from = 0; from < order.length; from += PIECE) yield order.subarray(from, from + PIECE)
}

function at<T>(items: readonly T[], place: number): T {
  const item = items[place]
  if (item === undefined) throw new Error(`nothing was gathered at ${place}`)
  return item
}
