import type { DeliveredFrom, DeliveredOf, HeldResource } from '../../../core/outbox/entry.ts'
import type { Database, Statement } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { SharedHeldRows } from './shared-held-rows.ts'
import { heldIn, type WrittenHeld, writtenHeld } from './written-held.ts'

interface Row {
  readonly resources: string
}

/** Some twenty milliseconds of removing. */
const FORGOTTEN_AT_A_TIME = 5_000

/**
 * What destinations are known to hold of ours. What an entry delivered stands in one row, as JSON, beside the other entries
 * of its subject; monitors, which people may share, by themselves.
 */
export class HeldRows {
  readonly #sources: SourceNumbers
  readonly #shared: SharedHeldRows
  readonly #put: Statement<unknown>
  readonly #ofEntry: Statement<Row>
  readonly #ofSubject: Statement<Row>
  readonly #ofSession: Statement<Row>
  readonly #forget: Statement<unknown>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#shared = new SharedHeldRows(database)
    const select = `SELECT resources FROM held_by_entry
      WHERE destination = ? AND source_no = ? AND subject = ?`
    this.#put = database.prepare('INSERT OR REPLACE INTO held_by_entry VALUES (?, ?, ?, ?, ?, ?)')
    this.#ofEntry = database.prepare(`${select} AND session = ? AND entry = ?`)
    this.#ofSubject = database.prepare(`${select} ORDER BY entry`)
    this.#ofSession = database.prepare(`${select} AND session IN ('', ?) ORDER BY entry`)
    this.#forget = database.prepare(`DELETE FROM held_by_entry WHERE destination = ?1
      AND (source_no, subject, session, entry) IN (
        SELECT source_no, subject, session, entry FROM held_by_entry WHERE destination = ?1 LIMIT ?2)`)
  }

  /** Forgets some of what a destination holds. False when there is nothing more. */
  forgetSome(destination: string): boolean {
    const own = this.#forget.run(destination, FORGOTTEN_AT_A_TIME).changes
    const shared = this.#shared.forget(destination, FORGOTTEN_AT_A_TIME - own)
    return own + shared === FORGOTTEN_AT_A_TIME
  }

  save(from: DeliveredFrom, { shared, own }: WrittenHeld): void {
    const { id, destination, source, subject } = from
    this.#shared.save(destination, shared)
    if (own === undefined) return
    const session = sessionOf(from) ?? ''
    const sourceNo = this.#sources.assign(source)
    const before = this.#ofEntry.get(destination, sourceNo, subject, session, id)
    const all = before === undefined ? own : together(before.resources, own)
    this.#put.run(destination, sourceNo, subject, session, id, all)
  }

  /** Adds what is not known yet, and leaves the rest: for what is heard late. */
  add(from: DeliveredFrom, { shared, own }: WrittenHeld): void {
    const held = [...shared, ...heldIn(own)]
    const { destination, source, subject } = from
    const session = sessionOf(from)
    const known = this.held(
      destination,
      [session === undefined ? { source, subject } : { source, subject, session }],
      held.map(({ uuid }) => uuid),
    )
    this.save(from, writtenHeld(held.filter(({ uuid }) => !known.has(uuid))))
  }

  /** Of these, by UUID and in their order. */
  held(destination: string, of: readonly DeliveredOf[], uuids: readonly string[]): Map<string, HeldResource> {
    const found = this.#shared.held(destination, uuids)
    if (uuids.every((uuid) => found.has(uuid))) return found
    const asked = new Set(uuids)
    for (const one of of) {
      for (const row of this.#rowsOf(destination, one)) {
        for (const one of heldIn(row.resources)) {
          if (asked.has(one.uuid)) found.set(one.uuid, newerOf(found.get(one.uuid), one))
        }
      }
    }
    return inOrder(found, uuids)
  }

  /** Of what attempts at an entry learnt, as it is known by now. */
  broughtBy(entry: DeliveredFrom): HeldResource[] {
    const { id, destination, source, subject } = entry
    const session = sessionOf(entry)
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return []
    const row = this.#ofEntry.get(destination, sourceNo, subject, session ?? '', id)
    const uuids = heldIn(row?.resources).map(({ uuid }) => uuid)
    const of = session === undefined ? { source, subject } : { source, subject, session }
    return [...this.held(destination, [of], uuids).values()]
  }

  #rowsOf(destination: string, { source, subject, session }: DeliveredOf): Iterable<Row> {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return []
    return session === undefined
      ? this.#ofSubject.iterate(destination, sourceNo, subject)
      : this.#ofSession.iterate(destination, sourceNo, subject, session)
  }
}

function sessionOf({ kind, about }: DeliveredFrom): string | undefined {
  return kind === 'average' ? undefined : about
}

function inOrder(
  found: ReadonlyMap<string, HeldResource>,
  uuids: readonly string[],
): Map<string, HeldResource> {
  return new Map(
    uuids.flatMap((uuid) => {
      const one = found.get(uuid)
      return one === undefined ? [] : [[uuid, one]]
    }),
  )
}

function together(before: string, learnt: string): string {
  const all = new Map<string, HeldResource>()
  for (const one of [...heldIn(before), ...heldIn(learnt)]) all.set(one.uuid, newerOf(all.get(one.uuid), one))
  return JSON.stringify([...all.values()])
}

/** An id that a server does not tell again is kept; a version is not, because it may be another one by now. */
function newerOf(before: HeldResource | undefined, learnt: HeldResource): HeldResource {
  if (learnt.id !== undefined || before?.id === undefined) return learnt
  return { ...learnt, id: before.id }
}
