import { MARK } from '../../../core/clinical/averaging/reading-columns.ts'
import type { Arrivals, ArrivedPerson } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { PACKED, packedMarks } from './packed-sitting.ts'
import { type SittingRow, SittingRows, type Span } from './sitting-rows.ts'

const MS_PER_DAY = 86_400_000

interface ArrivedRow {
  readonly seq: number
  readonly source_no: number
  readonly subject: string
  readonly uuid: string
  readonly taken_ms: number
  /** Inbox place of the version before; null for the first. */
  readonly replaces: number | null
}

interface Arrived {
  readonly sourceNo: number
  readonly subject: string
  readonly uuids: Map<number, string>
  /** Inbox places of those that are not the first version. */
  readonly changed: Set<number>
  firstTakenMs: number
  lastTakenMs: number
}

/**
 * What came in since somebody last looked, by person. It is told from the merged sittings, never from the text of a
 * record; a version that was replaced before it was followed is left to the one that replaced it, whose span covers
 * both.
 */
export class FollowUp {
  readonly #sources: SourceNumbers
  readonly #sittings: SittingRows
  readonly #followed: Statement<{ seq: number }>
  readonly #mark: Statement<unknown>
  readonly #arrived: Statement<ArrivedRow>
  readonly #followedSince: Statement<Pick<ArrivedRow, 'source_no' | 'subject'>>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#sittings = new SittingRows(database)
    this.#followed = database.prepare('SELECT seq FROM followed')
    this.#mark = database.prepare('UPDATE followed SET seq = max(seq, ?)')
    this.#arrived = database.prepare(
      'SELECT seq, source_no, subject, uuid, taken_ms, replaces FROM inbox WHERE seq > ? AND seq <= ? ORDER BY seq',
    )
    this.#followedSince = database.prepare(`SELECT DISTINCT source_no, subject FROM inbox
      WHERE seq > ? AND seq <= (SELECT seq FROM followed)`)
  }

  /** Inbox place up to which the next at most `limit` versions go; undefined when there are none. */
  next(limit: number, last: number): number | undefined {
    const followed = this.#seq()
    return followed >= last ? undefined : Math.min(last, followed + limit)
  }

  /** Those up to an inbox place that the merge has passed. */
  arrivals(throughSeq: number): Arrivals {
    const people = new Map<string, Arrived>()
    for (const row of this.#arrived.all(this.#seq(), throughSeq)) {
      const { seq, source_no, subject, uuid, taken_ms, replaces } = row
      const key = `${source_no}/${subject}`
      let person = people.get(key)
      if (person === undefined) {
        const none = { uuids: new Map<number, string>(), changed: new Set<number>() }
        person = { sourceNo: source_no, subject, ...none, firstTakenMs: taken_ms, lastTakenMs: taken_ms }
        people.set(key, person)
      }
      person.uuids.set(seq, uuid)
      if (replaces !== null) person.changed.add(seq)
      person.firstTakenMs = Math.min(person.firstTakenMs, taken_ms)
      person.lastTakenMs = Math.max(person.lastTakenMs, taken_ms)
    }
    return { throughSeq, people: [...people.values()].flatMap((person) => this.#person(person) ?? []) }
  }

  mark(throughSeq: number): void {
    this.#mark.run(throughSeq)
  }

  /** Whether something of a person came in after an inbox place and was followed already. */
  isFollowedSince(
    seq: number,
    person: readonly { readonly source: string; readonly subject: string }[],
  ): boolean {
    return this.#followedSince
      .all(seq)
      .some(({ source_no, subject }) =>
        person.some((one) => one.subject === subject && one.source === this.#sources.nameOf(source_no)),
      )
  }

  #seq(): number {
    return this.#followed.get()?.seq ?? 0
  }

  #person(person: Arrived): ArrivedPerson | undefined {
    const { sourceNo, subject, uuids, changed, firstTakenMs, lastTakenMs } = person
    const arrived = this.#sittings
      .takenBetween(sourceNo, subject, firstTakenMs, lastTakenMs, Number.MAX_SAFE_INTEGER)
      .filter(({ seq }) => uuids.has(seq))
      .sort((one, other) => one.seq - other.seq)
    if (arrived.length === 0) return undefined
    const spans = arrived.map(spanOf)
    const fromMs = Math.min(...spans.map(({ firstMs }) => firstMs))
    const toMs = Math.max(...spans.map(({ lastMs }) => lastMs))
    const around = this.#sittings
      .between(sourceNo, subject, fromMs - MS_PER_DAY, toMs + MS_PER_DAY, Number.MAX_SAFE_INTEGER)
      .map(marksOf)
      .filter((marks) => (marks & MARK.withdrawn) === 0)
    const someWith = (mark: number) => around.some((marks) => (marks & mark) !== 0)
    const someWithout = (marked: number) => around.some((marks) => (marks & marked) === 0)
    return {
      source: this.#sources.nameOf(sourceNo),
      subject,
      fromMs,
      toMs,
      sessions: arrived.flatMap(({ seq }) => uuids.get(seq) ?? []),
      changed: arrived.flatMap(({ seq }) => (changed.has(seq) ? (uuids.get(seq) ?? []) : [])),
      irregularPulse: arrived
        .map(marksOf)
        .some((marks) => (marks & PACKED.irregular) !== 0 && (marks & MARK.withdrawn) === 0),
      bothArms: someWith(MARK.rightArm) && someWithout(MARK.rightArm | MARK.armNotStated),
      stoodUp: someWith(MARK.standing) && someWithout(MARK.standing | PACKED.positionNotStated),
    }
  }
}

function marksOf({ packed }: SittingRow): number {
  return packedMarks(packed)
}

/** Of this version and of all before it. */
function spanOf({ first_ms, last_ms, earlier_first_ms, earlier_last_ms }: SittingRow): Span {
  return {
    firstMs: Math.min(first_ms, earlier_first_ms ?? first_ms),
    lastMs: Math.max(last_ms, earlier_last_ms ?? last_ms),
  }
}
