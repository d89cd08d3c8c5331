import { OUTBOX_STATES, type OutboxEntry, type OutboxState } from '../../../core/outbox/entry.ts'
import { MAY_COME_FROM } from '../../../core/outbox/may-come-from.ts'
import type { Delivery, DeliveryFilter, DestinationSummary } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import { FilteredStatements } from '../connection/filtered-statements.ts'
import type { Look } from '../connection/look.ts'
import { steppedThrough } from '../connection/stepped-through.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { deliveryCondition } from './delivery-filter.ts'
import { Lanes } from './lanes.ts'
import { entryOfRow, type OutboxEntryRow } from './outbox-entry-row.ts'

const UNSETTLED = OUTBOX_STATES.filter((state) => state !== 'settled')

/** Deliveries as they are looked at. */
export class DeliveryRows {
  readonly #sources: SourceNumbers
  readonly #lanes: Lanes
  readonly #statements: FilteredStatements<OutboxEntryRow>
  readonly #get: Statement<OutboxEntryRow>
  readonly #nextDestination: Statement<{ destination: string | null }>
  readonly #count: Statement<{ entries: number }>
  readonly #countAt: Statement<{ entries: number }>
  readonly #oldestAt: Statement<{ id: number | null }>
  readonly #last: Statement<{ id: number | null }>
  readonly #settled: Statement<{ destination: string; entries: number }>
  readonly #calls: Statement<{ part: string | null }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#statements = new FilteredStatements(database)
    this.#sources = sources
    this.#lanes = new Lanes(database)
    this.#get = database.prepare('SELECT * FROM outbox WHERE id = ?')
    this.#nextDestination = database.prepare(`SELECT min(destination) AS destination FROM outbox
      WHERE state <> 'settled' AND state = ? AND destination > ?`)
    const ofState = "FROM outbox WHERE state <> 'settled' AND state = ?"
    this.#count = database.prepare(`SELECT count(*) AS entries ${ofState}`)
    this.#countAt = database.prepare(`SELECT count(*) AS entries ${ofState} AND destination = ?`)
    this.#oldestAt = database.prepare(`SELECT min(id) AS id ${ofState} AND destination = ?`)
    this.#last = database.prepare('SELECT max(id) AS id FROM outbox')
    this.#settled = database.prepare('SELECT destination, entries FROM settled_count')
    this.#calls = database.prepare(
      "SELECT part FROM outbox WHERE kind = 'attention' AND moved_from IS NULL AND about = ? AND destination = ?",
    )
  }

  get(id: number): OutboxEntry | undefined {
    const row = this.#get.get(id)
    return row && entryOfRow(row, this.#sources)
  }

  /** What an entry that waits is behind; nothing when it is the head of its lane itself. */
  behind(id: number): Pick<Delivery, 'behind'> {
    const row = this.#get.get(id)
    if (row === undefined || row.state !== 'waiting' || row.ready === 1) return {}
    const first = this.#lanes.first(row)
    if (first === undefined) return {}
    const { id: before, state, lastProblem } = entryOfRow(first, this.#sources)
    return { behind: { id: before, state, ...(lastProblem === undefined ? {} : { lastProblem }) } }
  }

  queuedCalls(destination: string, session: string): string[] {
    return this.#calls.all(session, destination).flatMap(({ part }) => part ?? [])
  }

  /**
   * Looks at some of the entries after a place, or at all where an index leads straight to those that are meant. Gives at
   * most `limit`, oldest first. What is not settled is found by state and destination, so all of a state are put together
   * from these.
   */
  look(after: number, limit: number, filter: DeliveryFilter): Look<OutboxEntry, number> {
    const { state } = filter
    const through = isStraight(filter) ? Number.MAX_SAFE_INTEGER : after + ENTRIES_AT_A_LOOK
    const filters =
      state === undefined || state === 'settled' || filter.destination !== undefined
        ? [filter]
        : this.#destinationsOf(state).map((destination) => ({ ...filter, destination }))
    const rows = filters
      .flatMap((one) => this.#find(one, after, through, limit))
      .sort((one, other) => one.id - other.id)
      .slice(0, limit)
      .map((row) => entryOfRow(row, this.#sources))
    return rows.length < limit && through < this.#newest() ? { rows, through } : { rows }
  }

  /** Those of a filter that are parked or given up, after a place and at most `limit`, oldest first. */
  stuck(
    { id, ...filter }: DeliveryFilter & { readonly id?: number },
    after: number,
    limit: number,
  ): OutboxEntryRow[] {
    if (id !== undefined) return this.#oneStuck(id, filter)
    return MAY_COME_FROM.release
      .filter((state) => filter.state === undefined || filter.state === state)
      .flatMap((state) => this.#find({ ...filter, state }, after, Number.MAX_SAFE_INTEGER, limit))
      .sort((one, other) => one.id - other.id)
      .slice(0, limit)
  }

  #oneStuck(id: number, filter: DeliveryFilter): OutboxEntryRow[] {
    const condition = deliveryCondition(filter, this.#sources)
    if (condition === undefined) return []
    return this.#statements
      .of(`SELECT * FROM outbox WHERE id = ?${condition.sql}`)
      .all(id, ...condition.values)
  }

  /** By the name of the destination. What is settled is counted as it is settled, and never looked at here. */
  summary(): DestinationSummary[] {
    const found = new Map<string, Record<OutboxState, number>>()
    const of = (destination: string) => {
      const known = found.get(destination) ?? nothing()
      found.set(destination, known)
      return known
    }
    for (const { destination, entries } of this.#settled.all()) of(destination).settled = entries
    for (const state of UNSETTLED) {
      for (const destination of this.#destinationsOf(state)) {
        of(destination)[state] = this.#countAt.get(state, destination)?.entries ?? 0
      }
    }
    return [...found]
      .sort(([one], [other]) => (one < other ? -1 : 1))
      .map(([destination, entries]) => ({ destination, entries, ...this.#oldest(destination) }))
  }

  /** Most entries are settled, and most others wait; no row is ever removed, so these are what the others leave over. */
  counts(): Record<OutboxState, number> {
    const of = (state: OutboxState) => this.#count.get(state)?.entries ?? 0
    const few = { claimed: of('claimed'), parked: of('parked'), 'given-up': of('given-up') }
    const settled = this.#settled.all().reduce((sum, { entries }) => sum + entries, 0)
    const all = this.#newest()
    return { waiting: all - settled - few.claimed - few.parked - few['given-up'], settled, ...few }
  }

  /** Of all entries that are not settled, the one with the lowest number. */
  #oldest(destination: string): Pick<DestinationSummary, 'oldestQueuedMs'> {
    const ids = UNSETTLED.flatMap((state) => this.#oldestAt.get(state, destination)?.id ?? [])
    const oldest = ids.length === 0 ? undefined : this.get(Math.min(...ids))
    return oldest === undefined ? {} : { oldestQueuedMs: oldest.queuedMs }
  }

  #find(filter: DeliveryFilter, after: number, through: number, limit: number): OutboxEntryRow[] {
    const condition = deliveryCondition(filter, this.#sources)
    if (condition === undefined) return []
    const sql = `SELECT * FROM outbox WHERE id > ? AND id <= ?${condition.sql} ORDER BY id LIMIT ?`
    return this.#statements.of(sql).all(after, through, ...condition.values, limit)
  }

  #newest(): number {
    return this.#last.get()?.id ?? 0
  }

  #destinationsOf(state: OutboxState): string[] {
    return steppedThrough((last) => this.#nextDestination.get(state, last)?.destination ?? undefined)
  }
}

/** A few milliseconds of looking. */
const ENTRIES_AT_A_LOOK = 10_000

/** Whether each entry that is read on the way is one that is meant. */
function isStraight({ state, destination, source, kind, problem, queuedBeforeMs }: DeliveryFilter): boolean {
  if (source !== undefined || kind !== undefined || queuedBeforeMs !== undefined) return false
  if (problem !== undefined) return state === undefined && destination === undefined
  return state === undefined ? destination === undefined : state !== 'settled'
}

function nothing(): Record<OutboxState, number> {
  return { waiting: 0, claimed: 0, settled: 0, parked: 0, 'given-up': 0 }
}
