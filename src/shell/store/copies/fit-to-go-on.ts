import { instantOf } from '../../../core/basics/instant.ts'
import { unknownRoute } from '../../../core/exchange/route/route.ts'
import { AuditRows } from '../audit/audit-rows.ts'
import { Database } from '../connection/database.ts'
import { migrate } from '../connection/migrate.ts'
import { OutboxRows } from '../outbox/outbox-rows.ts'
import { RouteRows } from '../outbox/route-rows.ts'
import { SourceNumbers } from '../registry/source-numbers.ts'

/** What a gateway that goes on from a copy has to look for. */
export interface ToLookFor {
  /** Deliveries that were not settled, and are uncertain now. */
  readonly uncertain: number
}

/**
 * Makes a copy of a store fit to go on from. It does not know what the store delivered after it was made, and nothing may
 * be made twice: so whatever is not settled is uncertain, and of every destination it is known that it may hold more.
 *
 * @param destinations names of those that may have been delivered to, besides those the copy knows.
 * @throws StoreFailed when it is of a newer release; Error when it is no sound copy of a store.
 */
export function fitToGoOn(copy: string, destinations: readonly string[], nowMs: number): ToLookFor {
  const database = new Database(copy)
  try {
    check(database)
    migrate(database)
    const outbox = new OutboxRows(database, new SourceNumbers(database))
    const routes = new RouteRows(database)
    const audit = new AuditRows(database)
    return database.write(() => {
      const uncertain = outbox.doubtOpen()
      const known = routes.all().map(({ destination }) => destination)
      for (const name of new Set([...known, ...destinations])) {
        routes.save({ ...(routes.get(name) ?? unknownRoute(name)), restored: true, restoredMs: nowMs })
      }
      audit.append({
        at: instantOf(nowMs).text,
        actor: 'operator',
        action: 'store-replaced',
        about: '',
        outcome: 'done',
        detail: { uncertain },
      })
      return { uncertain }
    })
  } finally {
    // One file, with nothing beside it.
    database.run('PRAGMA journal_mode = DELETE')
    database.close()
  }
}

function check(database: Database): void {
  const [verdict] = database.prepare<{ integrity_check: string }>('PRAGMA integrity_check(1)').all()
  if (verdict?.integrity_check !== 'ok') throw new Error('it is damaged')
  const tables = database.prepare("SELECT 1 FROM sqlite_schema WHERE name = 'migration'").all()
  if (tables.length === 0) throw new Error('it is no store')
}
