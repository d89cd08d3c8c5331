import type { AccessKey } from '../../../core/registry/source.ts'
import type { Store } from '../../../flow/ports/ports.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import type { Statement } from '../connection/database.ts'
import { ReadOnlyFile } from '../connection/read-only-file.ts'
import { KeyRows } from './key-rows.ts'

/** Keys remembered; what is presented and opens nothing is not. */
const MOST = 1_000

/**
 * A store that looks keys up on a connection of its own in the calling thread: each request asks for one, and asked of
 * the thread that owns the file it would wait for a commit. A key is answered from memory only while nobody has written
 * to the file, so that one revoked by another process opens nothing from then on.
 */
export function withLiveKeys(store: Store, file: string): Store {
  let keys: LiveKeys | undefined
  return {
    ...store,
    async accessKey(sha256) {
      try {
        keys ??= new LiveKeys(file)
        return keys.find(sha256)
      } catch (error) {
        throw asStoreFailed('accessKey', error)
      }
    },
    async close() {
      // Before the one that writes: the last connection to close folds the write-ahead log back.
      keys?.close()
      await store.close()
    },
  }
}

class LiveKeys {
  readonly #file: ReadOnlyFile
  readonly #rows: KeyRows
  readonly #version: Statement<{ data_version: number }>
  readonly #known = new Map<string, AccessKey>()
  #seen: number | undefined

  constructor(file: string) {
    this.#file = new ReadOnlyFile(file)
    this.#rows = new KeyRows(this.#file)
    this.#version = this.#file.prepare('PRAGMA data_version')
  }

  find(sha256: string): AccessKey | undefined {
    const version = this.#version.get()?.data_version
    if (version !== this.#seen || this.#known.size >= MOST) this.#known.clear()
    this.#seen = version
    const known = this.#known.get(sha256)
    if (known !== undefined) return known
    const found = this.#rows.valid(sha256)
    if (found !== undefined) this.#known.set(sha256, found)
    return found
  }

  close(): void {
    this.#file.close()
  }
}
