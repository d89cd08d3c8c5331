import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Store } from '../../src/flow/ports/ports.ts'
import { replaceStore } from '../../src/shell/store/copies/replace-store.ts'
import { openSqliteStore, type SqliteStoreOptions } from '../../src/shell/store/open-sqlite-store.ts'

/** A real store on a file of its own, for one test. */
export interface TemporaryStore {
  /** The store as it is open now. */
  readonly store: Store
  readonly file: string
  /**
   * Closes it and opens the same file again, as a restart would; or, as after a loss, a store made of a copy at a moment,
   * epoch ms.
   */
  reopen(copy?: string, nowMs?: number): Promise<Store>
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
    async reopen(copy, nowMs = 0) {
      await store.close()
      // Another file, because SQLite keeps the one before open in this process for as long as its statements are.
      const file = copy === undefined ? options.file : `${copy}-in-use`
      if (copy !== undefined) replaceStore(file, copy, [...readingsAtOnce, ...attentionAtOnce], nowMs)
      store = await open({ ...options, file })
      return store
    },
    async remove() {
      await store.close()
      await rm(folder, { recursive: true, force: true })
    },
  }
}
