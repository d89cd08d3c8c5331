import { OUTBOX_STATES, type OutboxEntry, type OutboxState } from '../../core/outbox/entry.ts'
import { MAY_COME_FROM } from '../../core/outbox/may-come-from.ts'
import type { DeliveryFilter, DestinationSummary, Page } from '../../flow/ports.ts'
import type { Database, Statement } from './database.ts'
import { deliveryCondition } from './delivery-filter.ts'
import { entryOfRow, type OutboxEntryRow } from './outbox-entry-row.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface UnsettledCount {
  readonly destination: string
  readonly state: OutboxState
  readonly entries: number
  /** The lowest number among them. */
  readonly first: number
}

/** Deliveries as they are looked at. */
export class DeliveryRows {
  readonly #database: Database
  readonly #sources: SourceNumbers
  readonly #statements = new Map<string, Statement<OutboxEntryRow>>()
  readonly #get: Statement<OutboxEntryRow>
  readonly #unsettled: Statement<UnsettledCount>
  readonly #settled: Statement<{ destination: string; entries: number }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#database = database
    this.#sources = sources
    this.#get = database.prepare('SELECT * FROM outbox WHERE id = ?')
    this.#unsettled = database.prepare(`SELECT destination, state, count(*) AS entries, min(id) AS first
      FROM outbox WHERE state <> 'settled' GROUP BY state, destination`)
    this.#settled = database.prepare('SELECT destination, entries FROM settled_count')
  }

  get(id: number): OutboxEntry | undefined {
    const row = this.#get.get(id)
    return row && entryOfRow(row, this.#sources)
  }

  /** Oldest first. */
  page({ after, limit, ...filter }: Page & DeliveryFilter): OutboxEntry[] {
    const condition = deliveryCondition(filter, this.#sources)
    if (condition === undefined) return []
    return this.#prepared(`SELECT * FROM outbox WHERE id > ?${condition.sql} ORDER BY id LIMIT ?`)
      .all(Number(after ?? 0), ...condition.values, limit)
      .map((row) => entryOfRow(row, this.#sources))
  }

  /** Those of a filter that are parked or given up, oldest first. */
  stuck({ id, ...filter }: DeliveryFilter & { readonly id?: number }): OutboxEntryRow[] {
    if (id !== undefined) return this.#oneStuck(id, filter)
    return MAY_COME_FROM.release
      .filter((state) => filter.state === undefined || filter.state === state)
      .flatMap((state) => {
        const condition = deliveryCondition({ ...filter, state }, this.#sources)
        if (condition === undefined) return []
        return this.#prepared(`SELECT * FROM outbox WHERE TRUE${condition.sql}`).all(...condition.values)
      })
      .sort((one, other) => one.id - other.id)
  }

  #oneStuck(id: number, filter: DeliveryFilter): OutboxEntryRow[] {
    const condition = deliveryCondition(filter, this.#sources)
    if (condition === undefined) return []
    return this.#prepared(`SELECT * FROM outbox WHERE id = ?${condition.sql}`).all(id, ...condition.values)
  }

  /** By the name of the destination. What is settled is counted as it is settled, and never looked at here. */
  summary(): DestinationSummary[] {
    const found = new Map<string, { entries: Record<OutboxState, number>; first?: number }>()
    const of = (destination: string) => {
      const known = found.get(destination) ?? { entries: nothing() }
      found.set(destination, known)
      return known
    }
    for (const { destination, entries } of this.#settled.all()) of(destination).entries.settled = entries
    for (const { destination, state, entries, first } of this.#unsettled.all()) {
      const known = of(destination)
      known.entries[state] = entries
      known.first = Math.min(first, known.first ?? first)
    }
    return [...found]
      .sort(([one], [other]) => (one < other ? -1 : 1))
      .map(([destination, { entries, first }]) => {
        const oldestQueuedMs = first === undefined ? undefined : this.get(first)?.queuedMs
        return { destination, entries, ...(oldestQueuedMs === undefined ? {} : { oldestQueuedMs }) }
      })
  }

  counts(): Record<OutboxState, number> {
    const counts = nothing()
    for (const { entries } of this.summary()) {
      for (const state of OUTBOX_STATES) counts[state] += entries[state]
    }
    return counts
  }

  #prepared(sql: string): Statement<OutboxEntryRow> {
    const statement = this.#statements.get(sql) ?? this.#database.prepare<OutboxEntryRow>(sql)
    this.#statements.set(sql, statement)
    return statement
  }
}

function nothing(): Record<OutboxState, number> {
  return { waiting: 0, claimed: 0, settled: 0, parked: 0, 'given-up': 0 }
}
