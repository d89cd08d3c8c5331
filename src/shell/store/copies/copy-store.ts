import { closeSync, openSync, rmSync } from 'node:fs'
import { dirname } from 'node:path'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { systemCodeOf, whyFileFailed } from '../../why-file-failed.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { Database } from '../connection/database.ts'
import { OWNER_ONLY } from '../connection/owner-only.ts'
import { flush } from './flush.ts'

/**
 * Makes a copy of a store as it is at this moment; others may read and write the store meanwhile. One file, readable by its
 * owner alone, on the disk when this returns. A gateway goes on from it by `replaceStore`.
 *
 * @throws StoreFailed when there is no such store, the copy cannot be written, or there is a file in its place.
 */
export function copyStore(file: string, into: string): void {
  try {
    closeSync(openSync(into, 'wx', OWNER_ONLY))
  } catch (error) {
    throw new StoreFailed(
      `cannot write the copy ${into}: ${whyFileFailed(systemCodeOf(error), 'write', into)}`,
    )
  }
  try {
    copyWhole(file, into)
    flush(into)
    flush(dirname(into))
  } catch (error) {
    for (const suffix of ['', '-journal']) rmSync(`${into}${suffix}`, { force: true })
    throw asStoreFailed('copy', error)
  }
}

/** What one moment of the store holds, without the room that removed rows left. Source: SQLite, VACUUM INTO. */
function copyWhole(file: string, into: string): void {
  const store = new Database(file)
  try {
    store.prepare('VACUUM INTO ?').run(into)
  } finally {
    store.close()
  }
}
