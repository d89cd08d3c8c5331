import type { StoreFigures } from '../../flow/ports/ports.ts'
import { type Acknowledged, arrivalCalls } from './arrivals/arrival-calls.ts'
import { periodCalls } from './arrivals/period-calls.ts'
import { auditCalls } from './audit/audit-calls.ts'
import { Database } from './connection/database.ts'
import { migrate } from './connection/migrate.ts'
import { ALL_MIGRATIONS } from './connection/migrations/all-migrations.ts'
import { claimOwnership, type Ownership } from './connection/sole-opener.ts'
import { lastingFailure } from './connection/sqlite-code.ts'
import { deliveryCalls } from './outbox/delivery-calls.ts'
import { registryCalls } from './registry/registry-calls.ts'
import { type IdKey, idKey } from './sittings/lookup-keys.ts'
import { Merging } from './sittings/merging.ts'
import { sittingCalls } from './sittings/sitting-calls.ts'
import { openParts } from './store-parts.ts'

export interface EngineOptions {
  readonly file: string
  /** Names of the destinations that want each session's readings when they arrive. */
  readonly readingsAtOnce: ReadonlySet<string>
  /** Names of the destinations that want to hear at once of what asks for attention. */
  readonly attentionAtOnce: ReadonlySet<string>
  /**
   * Epoch ms from which what a dead process had claimed may be claimed again, where that is before its lease ends: a
   * clinic's server may still be finishing what it was asked. Absent: when the lease ends.
   */
  readonly claimsFreeMs?: number
  /** Another lookup key than the usual one, for tests of keys that meet. */
  readonly idKey?: IdKey
}

export type SqliteEngine = ReturnType<typeof openSqliteEngine>

/**
 * The store as plain calls on one SQLite connection, in one thread: one call for each of the port, each of them one
 * transaction. What they promise is written at `Store`.
 */
export function openSqliteEngine(options: EngineOptions) {
  const { file, readingsAtOnce, attentionAtOnce, claimsFreeMs, idKey: key = idKey } = options
  const { database, ownership } = openOwned(file)
  const acknowledged: Acknowledged = { records: 0, commits: 0 }
  const parts = { ...openParts(database, key), readingsAtOnce, attentionAtOnce, acknowledged }
  const { inbox, sources, registry, periods, outbox, deliveries, audit } = parts
  const merging = new Merging(database, inbox, sources, key)
  if (ownership.sole) database.write(() => outbox.lapseClaims(claimsFreeMs))
  ownership.share()

  return {
    ...arrivalCalls(parts),
    ...sittingCalls(parts),
    ...registryCalls(parts),
    ...periodCalls(parts),
    ...deliveryCalls(parts),
    ...auditCalls(parts),

    /** Lets calls that only read share a transaction, as far as they follow one another in `calls`. */
    together<T>(calls: () => T): T {
      return database.readsTogether(calls)
    },

    /** Rows that wait to be merged. */
    get unmerged(): number {
      return inbox.unmerged
    },

    /** Does a few milliseconds of merging. False when everything was merged. */
    mergeStep(): boolean {
      return merging.step()
    },

    /** Does a few milliseconds of merging towards an inbox place. False when the merge has passed it. */
    mergeTowards(seq: number): boolean {
      return merging.stepTowards(seq)
    },

    /** Where the last write failed, tries one more. SQLite's code of why nothing can be written; undefined when it can. */
    writeProblem(): string | undefined {
      if (database.failedWrite === undefined) return undefined
      try {
        database.tryWrite()
        return undefined
      } catch (error) {
        const code = lastingFailure(error)
        if (code === undefined) throw error
        return code
      }
    },

    figures(): StoreFigures {
      return database.read(() => ({
        sessions: inbox.countSessions(),
        ...registry.counts(),
        ...periods.counts(),
        outbox: deliveries.counts(),
        auditRows: audit.last,
        commits: acknowledged.commits,
        acknowledged: acknowledged.records,
        writeFailures: database.writeFailures,
      }))
    },

    close(): void {
      database.close()
      ownership.release()
    },
  }
}

/**
 * The file, brought up to date. Whoever has it alone sees to it that it can be written; beside a service that has it open,
 * which tells so itself, what is held can be read all the same.
 */
function openOwned(file: string) {
  const database = new Database(file)
  let ownership: Ownership | undefined
  try {
    ownership = claimOwnership(file)
    migrate(database, ALL_MIGRATIONS, ownership.sole)
    if (ownership.sole) database.tryWrite()
    return { database, ownership }
  } catch (error) {
    database.close()
    ownership?.release()
    throw error
  }
}
