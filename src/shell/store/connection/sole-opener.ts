import { DatabaseSync } from '@photostructure/sqlite'

export interface Ownership {
  /** Whether no other process had the store open, so that whatever is claimed in it belongs to a dead process. */
  readonly sole: boolean
  release(): void
}

/**
 * Holds `<file>-owner` locked for as long as the store is open. The operating system lets go of the lock when the
 * process ends, however it ends, which no marker in a file would.
 */
export function claimOwnership(file: string): Ownership {
  if (file === ':memory:') return { sole: true, release: () => undefined }
  const connection = new DatabaseSync(`${file}-owner`, { timeout: 0 })
  try {
    connection.exec('PRAGMA journal_mode = MEMORY; BEGIN EXCLUSIVE')
    return { sole: true, release: () => connection.close() }
  } catch (error) {
    connection.close()
    if (!isLocked(error)) throw error
    return { sole: false, release: () => undefined }
  }
}

function isLocked(error: unknown): boolean {
  return error instanceof Error && /database is locked/.test(error.message)
}
