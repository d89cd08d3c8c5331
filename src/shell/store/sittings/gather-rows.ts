import type { Database } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { type IdKey, uuidKey } from './lookup-keys.ts'
import { placedSitting } from './placed-sitting.ts'
import { type PackedSitting, packedSitting, type Span } from './sitting-rows.ts'

/** Rows read between two pauses. */
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

/** What a run of the merge is about to write, a place for each row. */
export interface Gathered {
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

/** Reads the rows after `from` and up to `to`, with a pause now and then. */
export function* gatherRows(
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

/** What stands at a place. */
export function at<T>(items: readonly T[], place: number): T {
  const item = items[place]
  if (item === undefined) throw new Error(`nothing was gathered at ${place}`)
  return item
}
