import type { Store } from '../../../flow/ports/ports.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { ReadOnlyFile } from '../connection/read-only-file.ts'
import { LiveEnrolments } from './live-enrolments.ts'
import { LiveKeys } from './live-keys.ts'

/**
 * A store that looks keys and enrolments up on a connection of its own in the calling thread: each request asks for a key,
 * and whatever is received for an enrolment, and asked of the thread that owns the file they would wait for a commit.
 */
export function withLiveReads(store: Store, file: string): Store {
  let live: LiveReads | undefined
  const read = <T>(call: 'accessKey' | 'enrolments', work: (from: LiveReads) => T): T => {
    try {
      live ??= new LiveReads(file)
      return work(live)
    } catch (error) {
      throw asStoreFailed(call, error)
    }
  }
  return {
    ...store,
    accessKey: async (sha256) => read('accessKey', ({ keys }) => keys.find(sha256)),
    enrolments: async (source, subjects) =>
      read('enrolments', ({ enrolments }) => enrolments.find(source, subjects)),
    async close() {
      // Before the one that writes: the last connection to close folds the write-ahead log back.
      live?.close()
      await store.close()
    },
  }
}

class LiveReads {
  readonly #file: ReadOnlyFile
  readonly keys: LiveKeys
  readonly enrolments: LiveEnrolments

  constructor(file: string) {
    this.#file = new ReadOnlyFile(file)
    this.keys = new LiveKeys(this.#file)
    this.enrolments = new LiveEnrolments(this.#file)
  }

  close(): void {
    this.#file.close()
  }
}
