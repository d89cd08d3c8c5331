import type { DeliveredFrom, HeldResource } from '../../core/outbox/entry.ts'
import type { Subject } from '../../core/registry/enrolment.ts'
import type { Database, Statement } from './database.ts'
import { SharedHeldRows } from './shared-held-rows.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface Row {
  readonly resources: string
}

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
  readonly #forget: Statement<unknown>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#shared = new SharedHeldRows(database)
    const lane = 'destination = ? AND source_no = ? AND subject = ?'
    this.#put = database.prepare('INSERT OR REPLACE INTO held_by_entry VALUES (?, ?, ?, ?, ?)')
    this.#ofEntry = database.prepare(`SELECT resources FROM held_by_entry WHERE ${lane} AND entry = ?`)
    this.#ofSubject = database.prepare(`SELECT resources FROM held_by_entry WHERE ${lane} ORDER BY entry`)
    this.#forget = database.prepare('DELETE FROM held_by_entry WHERE destination = ?')
  }

  forget(destination: string): void {
    this.#forget.run(destination)
    this.#shared.forget(destination)
  }

  save(from: DeliveredFrom, held: readonly HeldResource[]): void {
    this.#shared.save(from.destination, held.filter(isShared))
    const own = held.filter((resource) => !isShared(resource))
    if (own.length === 0) return
    if (!own.every(({ uuid }) => UUID.test(uuid))) throw new Error('what is held is known by a UUID')
    const sourceNo = this.#sources.assign(from.source)
    const before = this.#ofEntry.get(from.destination, sourceNo, from.subject, from.id)
    const all = new Map<string, HeldResource>()
    for (const one of [...resourcesOf(before), ...own]) all.set(one.uuid, newerOf(all.get(one.uuid), one))
    this.#put.run(from.destination, sourceNo, from.subject, from.id, JSON.stringify([...all.values()]))
  }

  /** Adds what is not known yet, and leaves the rest: for what is heard late. */
  add(from: DeliveredFrom, held: readonly HeldResource[]): void {
    const known = this.held(
      from.destination,
      [from],
      held.map(({ uuid }) => uuid),
    )
    this.save(
      from,
      held.filter(({ uuid }) => !known.has(uuid)),
    )
  }

  /** Of these, by UUID and in their order: what was learnt of entries of any of the subjects, and monitors. */
  held(
    destination: string,
    subjects: readonly Subject[],
    uuids: readonly string[],
  ): Map<string, HeldResource> {
    const found = this.#shared.held(destination, uuids)
    if (uuids.every((uuid) => found.has(uuid))) return found
    const asked = new Set(uuids)
    for (const { source, subject } of subjects) {
      const sourceNo = this.#sources.find(source)
      if (sourceNo === undefined) continue
      for (const row of this.#ofSubject.iterate(destination, sourceNo, subject)) {
        for (const one of resourcesOf(row)) {
          if (asked.has(one.uuid)) found.set(one.uuid, newerOf(found.get(one.uuid), one))
        }
      }
    }
    return inOrder(found, uuids)
  }
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

const UUID = /^[0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}$/

function isShared({ type }: HeldResource): boolean {
  return type === 'Device'
}

function resourcesOf(row: Row | undefined): readonly HeldResource[] {
  return row === undefined ? [] : JSON.parse(row.resources)
}

/** An id that a server does not tell again is kept; a version is not, because it may be another one by now. */
function newerOf(before: HeldResource | undefined, learnt: HeldResource): HeldResource {
  if (learnt.id !== undefined || before?.id === undefined) return learnt
  return { ...learnt, id: before.id }
}
