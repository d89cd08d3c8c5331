import type { Database, Statement } from '../connection/database.ts'
import { hasReadingBetween, packSitting } from './packed-sitting.ts'
import type { PlacedSitting } from './placed-sitting.ts'

/** A merged sitting: the newest version of a session that the merge has passed. */
export interface SittingRow {
  readonly seq: number
  readonly first_ms: number
  readonly last_ms: number
  /** Span of all earlier versions; null where there was none. */
  readonly earlier_first_ms: number | null
  readonly earlier_last_ms: number | null
  readonly packed: string
}

/** Epoch milliseconds, ends included. */
export interface Span {
  readonly firstMs: number
  readonly lastMs: number
}

const COLUMNS = 'seq, first_ms, last_ms, earlier_first_ms, earlier_last_ms, packed'

/** The longest time between the first and the last moment of a sitting, so that a range need not look further. */
const LONGEST = '(SELECT longest_ms FROM merged)'

/**
 * Sittings in the order of person and time, as far as the merge has passed. Every method but the writing ones leaves
 * out what a merge that is under way has written ahead of its mark.
 */
export class SittingRows {
  readonly #insert: Statement<unknown>
  readonly #remove: Statement<unknown>
  readonly #between: Statement<SittingRow>
  readonly #takenBetween: Statement<SittingRow>
  readonly #of: Statement<SittingRow>

  constructor(database: Database) {
    this.#insert = database.prepare('INSERT OR IGNORE INTO sitting VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)')
    this.#remove = database.prepare(
      'DELETE FROM sitting WHERE source_no = ? AND subject = ? AND first_ms = ? AND id = ?',
    )
    const ofSubject = `SELECT ${COLUMNS} FROM sitting WHERE source_no = ?1 AND subject = ?2 AND seq <= ?3`
    this.#of = database.prepare(ofSubject)
    this.#between = database.prepare(
      `${ofSubject} AND first_ms BETWEEN ?4 - ${LONGEST} AND ?5 AND last_ms >= ?4`,
    )
    this.#takenBetween = database.prepare(
      `${ofSubject} AND first_ms BETWEEN ?4 - ${LONGEST} AND ?5 + ${LONGEST}`,
    )
  }

  /** Adds a sitting that is not there yet. */
  add(
    sourceNo: number,
    subject: string,
    id: string,
    seq: number,
    placed: Pick<PackedSitting, 'firstMs' | 'lastMs' | 'packed'>,
    earlier?: Span,
  ): void {
    const { firstMs, lastMs, packed } = placed
    const earlierFirst = earlier?.firstMs ?? null
    this.#insert.run(
      sourceNo,
      subject,
      firstMs,
      id,
      lastMs,
      seq,
      earlierFirst,
      earlier?.lastMs ?? null,
      packed,
    )
  }

  remove(sourceNo: number, subject: string, id: string, firstMs: number): void {
    this.#remove.run(sourceNo, subject, firstMs, id)
  }

  /** All of a person's. */
  of(sourceNo: number, subject: string, mergedTo: number): SittingRow[] {
    return this.#of.all(sourceNo, subject, mergedTo)
  }

  /** A person's with a reading in the time given, both ends included; one without readings stands at its own time. */
  between(sourceNo: number, subject: string, fromMs: number, toMs: number, mergedTo: number): SittingRow[] {
    return this.#between
      .all(sourceNo, subject, mergedTo, fromMs, toMs)
      .filter(
        ({ first_ms, last_ms, packed }) =>
          first_ms >= fromMs || last_ms <= toMs || hasReadingBetween(packed, fromMs, toMs),
      )
  }

  /** All of a person's whose own time is in the time given, and perhaps some more. */
  takenBetween(
    sourceNo: number,
    subject: string,
    fromMs: number,
    toMs: number,
    mergedTo: number,
  ): SittingRow[] {
    return this.#takenBetween.all(sourceNo, subject, mergedTo, fromMs, toMs)
  }
}

/** A sitting ready to be added. */
export interface PackedSitting extends Span {
  readonly packed: string
  /** From the first to the last moment of it, its own time included. */
  readonly reachMs: number
}

export function packedSitting(placed: PlacedSitting): PackedSitting {
  const { takenMs, firstMs, lastMs } = placed
  return {
    firstMs,
    lastMs,
    packed: packSitting(placed),
    reachMs: Math.max(lastMs, takenMs) - Math.min(firstMs, takenMs),
  }
}
