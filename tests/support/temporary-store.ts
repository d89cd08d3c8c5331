import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Store } from '../../src/flow/ports.ts'
import { openSqliteStore, type SqliteStoreOptions } from '../../src/shell/store/open-sqlite-store.ts'

/** A real store on a file of its own, for one test. */
export interface TemporaryStore {
  /** The store as it is open now. */
  readonly store: Store
  readonly file: string
  /** Closes it and opens the same file again, as a restart would. */
  reopen(): Promise<Store>
  /** Closes it and removes the file. */
  remove(): Promise<void>
}

/**
 * @param readingsAtOnce names of the destinations that want readings when they arrive.
 * @param attentionAtOnce names of those that want to hear at once of what asks for attention.
 */
export async function temporaryStore(
  readingsAtOnce: readonly string[] = ['clinic'],
  open: (options: SqliteStoreOptions) => Promise<Store> = openSqliteStore,
  attentionAtOnce: readonly string[] = ['clinic', 'later-clinic'],
): Promise<TemporaryStore> {
  const folder = await mkdtemp(join(tmpdir(), 'gateway-store-'))
  const options = {
    file: join(folder, 'gateway.db'),
    readingsAtOnce: new Set(readingsAtOnce),
    attentionAtOnce: new Set(attentionAtOnce),
  }
  let store = await open(options)
  return {
    get store() {
      return store
    },
    file: options.file,
    async reopen() {
      await store.close()
      store = await open(options)
      return store
    },
    async remove() {
      await store.close()
      await rm(folder, { recursive: true, force: true })
    },
  }
}
