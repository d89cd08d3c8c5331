import { hash } from 'node:crypto'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import type { Database } from './database.ts'
import { ALL_MIGRATIONS, type Migration } from './migrations/all-migrations.ts'

interface Applied {
  readonly number: number
  readonly name: string
  readonly sha256: string
}

/**
 * Brings the file to this release's layout, all steps or none.
 *
 * Refuses, with `StoreFailed`, a file of a newer release and one whose applied steps are not those of this release:
 * both would be read wrongly. One of an earlier release is refused while another process has it open, which would go on
 * as if nothing had changed.
 *
 * @param isAlone whether no other process has the file open.
 */
export function migrate(
  database: Database,
  migrations: readonly Migration[] = ALL_MIGRATIONS,
  isAlone = true,
): void {
  database.write(() => {
    database.run(`CREATE TABLE IF NOT EXISTS migration (
      number INTEGER PRIMARY KEY, name TEXT NOT NULL, sha256 TEXT NOT NULL, applied_at TEXT NOT NULL) STRICT`)
    const applied = database
      .prepare<Applied>('SELECT number, name, sha256 FROM migration ORDER BY number')
      .all()
    for (const [index, step] of applied.entries()) check(step, migrations[index])

    const missing = migrations.slice(applied.length)
    if (applied.length > 0 && missing.length > 0 && !isAlone) throw openElsewhere()

    const keep = database.prepare(
      `INSERT INTO migration VALUES (?, ?, ?, strftime('%Y-%m-%dT%H:%M:%SZ', 'now'))`,
    )
    for (const step of missing) {
      database.run(step.sql)
      keep.run(step.number, step.name, fingerprint(step))
    }
  })
}

function check(applied: Applied, known: Migration | undefined): void {
  if (known === undefined) {
    throw new StoreFailed(
      `the store was made by a newer release: it holds migration ${applied.number} (${applied.name}), ` +
        'which this one does not know. Start that release, or restore a backup made before it.',
    )
  }
  if (known.number !== applied.number || fingerprint(known) !== applied.sha256) {
    throw new StoreFailed(
      `migration ${applied.number} (${applied.name}) of the store differs from this release's own. ` +
        'Start the release that made the store.',
    )
  }
}

function openElsewhere(): StoreFailed {
  return new StoreFailed(
    'the store was made by an earlier release, and another process has it open. End that one, ' +
      'make a copy of the store, and start this one then.',
  )
}

function fingerprint(migration: Migration): string {
  return hash('sha256', migration.sql, 'hex')
}
