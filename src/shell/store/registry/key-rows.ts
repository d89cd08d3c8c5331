import type { AccessKey } from '../../../core/registry/source.ts'
import type { Database, Statement } from '../connection/database.ts'

interface KeyRow {
  readonly sha256: string
  readonly role: AccessKey['role']
  readonly source: string | null
  readonly label: string | null
  readonly made_at: string | null
  readonly revoked_at: string | null
}

/** API keys, by their digests. None is removed: audit rows name them by their ids. */
export class KeyRows {
  readonly #save: Statement<unknown>
  readonly #valid: Statement<KeyRow>
  readonly #all: Statement<KeyRow>
  readonly #revoke: Statement<unknown>

  constructor(database: Pick<Database, 'prepare'>) {
    this.#save = database.prepare(
      'INSERT INTO access_key (sha256, role, source, label, made_at) VALUES (?, ?, ?, ?, ?)',
    )
    this.#valid = database.prepare(VALID_KEY)
    this.#all = database.prepare('SELECT * FROM access_key ORDER BY made_at, sha256')
    this.#revoke = database.prepare(
      'UPDATE access_key SET revoked_at = ? WHERE substr(sha256, 1, 12) = ? AND revoked_at IS NULL',
    )
  }

  save({ sha256, role, source, label, madeAt }: AccessKey): void {
    this.#save.run(sha256, role, source ?? null, label ?? null, madeAt ?? null)
  }

  valid(sha256: string): AccessKey | undefined {
    const row = this.#valid.get(sha256)
    return row && keyOf(row)
  }

  all(): AccessKey[] {
    return this.#all.all().map(keyOf)
  }

  /** False when there is none of that id, or it was revoked before. */
  revoke(id: string, at: string): boolean {
    return this.#revoke.run(at, id).changes > 0
  }
}

const VALID_KEY = 'SELECT * FROM access_key WHERE sha256 = ? AND revoked_at IS NULL'

function keyOf(row: KeyRow): AccessKey {
  const { sha256, role, source, label, made_at: madeAt, revoked_at: revokedAt } = row
  return {
    sha256,
    role,
    ...(source === null ? {} : { source }),
    ...(label === null ? {} : { label }),
    ...(madeAt === null ? {} : { madeAt }),
    ...(revokedAt === null ? {} : { revokedAt }),
  }
}
