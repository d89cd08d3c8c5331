/**
 * SQLite's own name for what failed, without what it adds after a second underline, such as `SQLITE_FULL`; undefined for
 * what SQLite did not throw.
 */
export function sqliteCodeOf(error: unknown): string | undefined {
  if (!(error instanceof Error) || !('sqliteCodeName' in error)) return undefined
  return typeof error.sqliteCodeName === 'string'
    ? /^SQLITE_[A-Z]+/.exec(error.sqliteCodeName)?.[0]
    : undefined
}

/** Failures that the next write meets too, until somebody does something: none of them lies in what was written. */
const LASTING: ReadonlySet<string> = new Set([
  'SQLITE_FULL',
  'SQLITE_READONLY',
  'SQLITE_IOERR',
  'SQLITE_CANTOPEN',
  'SQLITE_CORRUPT',
  'SQLITE_NOTADB',
  'SQLITE_PERM',
])

/** The code of a failure that stands in the way of every write; undefined for any other. */
export function lastingFailure(error: unknown): string | undefined {
  const code = sqliteCodeOf(error)
  return code !== undefined && LASTING.has(code) ? code : undefined
}
