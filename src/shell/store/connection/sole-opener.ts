import { DatabaseSync } from '@photostructure/sqlite'

export interface Ownership {
  /** Whether no other process had the store open, so that whatever is claimed in it belongs to a dead process. */
  readonly sole: boolean
  /** Lets other processes in, and holds on to it beside them: to be called once the store is as it should be. */
  share(): void
  release(): void
}

/** How long is waited for the one that opens the store alone until it shares it. A release before this one never does. */
const SHARED_WITHIN_MS = 1_000

/**
 * Holds `<file>-owner` locked for as long as the store is open: alone until it is shared, so that whoever comes later is
 * not alone as long as anybody has it open. The operating system lets go of the lock when the process ends, however it
 * ends, which no marker in a file would.
 */
export function claimOwnership(file: string): Ownership {
  if (file === ':memory:') return { sole: true, share: () => undefined, release: () => undefined }
  const connection = new DatabaseSync(`${file}-owner`, { timeout: 0 })
  const release = (): void => connection.close()
  const share = (): void => {
    if (connection.isTransaction) connection.exec('COMMIT')
    unlessLocked(() =>
      connection.exec(`PRAGMA busy_timeout = ${SHARED_WITHIN_MS}; BEGIN; SELECT 1 FROM sqlite_schema`),
    )
  }
  try {
    const sole = unlessLocked(() => connection.exec('PRAGMA journal_mode = MEMORY; BEGIN EXCLUSIVE'))
    return { sole, share, release }
  } catch (error) {
    connection.close()
    throw error
  }
}

/** Does it, and returns false where another process has the lock. */
function unlessLocked(act: () => void): boolean {
  try {
    act()
    return true
  } catch (error) {
    if (error instanceof Error && /database is locked/.test(error.message)) return false
    throw error
  }
}
