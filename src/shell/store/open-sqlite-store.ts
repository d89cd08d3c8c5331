import type { Log, Store } from '../../flow/ports/ports.ts'
import { keepForOwner } from './connection/owner-only.ts'
import { whyNotOpened } from './connection/why-not-opened.ts'
import { InThreadWriter } from './in-thread-writer.ts'
import { withLiveReads } from './registry/live-reads.ts'
import { openSqliteEngine } from './sqlite-engine.ts'
import { storeOver } from './store-over.ts'
import { sweepInThread } from './sweep/sweep-in-thread.ts'
import { sweepInWorker } from './sweep/sweep-in-worker.ts'
import { startWorker, WorkerWriter } from './worker/worker-writer.ts'

export interface SqliteStoreOptions {
  /**
   * Path of the file; made when absent, for its owner only. While it is open, `-wal`, `-shm` and `-owner` stand beside it.
   */
  readonly file: string
  /** Names of the destinations that want each session's readings when they arrive. */
  readonly readingsAtOnce: ReadonlySet<string>
  /** Names of the destinations that want to hear at once of what asks for attention. */
  readonly attentionAtOnce: ReadonlySet<string>
  /**
   * Epoch ms from which what a dead process had claimed may be claimed again, where that is before its lease ends: a
   * clinic's server may still be finishing what it was asked. Absent: when the lease ends.
   */
  readonly claimsFreeMs?: number
  /**
   * Do the work in the calling thread instead of a worker thread. A short command is quicker that way; a server's
   * answers would wait for its commits. Always so when the sources are run unbuilt.
   */
  readonly inThread?: boolean
  /** Told when others could read the files of the store until now. */
  readonly log?: Pick<Log, 'warn'>
}

const IS_BUILT = import.meta.url.endsWith('.js')

/**
 * Opens the embedded store, bringing its layout up to date. Several processes may have it open; what a process had
 * claimed that died is waiting and uncertain once the first opens it, and due when its lease would have ended.
 *
 * Rejects with `StoreFailed` when the file cannot be opened, or was made by a newer release.
 */
export async function openSqliteStore(options: SqliteStoreOptions): Promise<Store> {
  const { inThread = !IS_BUILT, log, ...engine } = options
  const { file } = options
  const loose = keepForOwner(file).length
  if (loose > 0) log?.warn('store-rights-tightened', { storeFile: file })
  if (!inThread) {
    return withLiveReads(storeOver(await WorkerWriter.over(startWorker(engine)), sweepInWorker(file)), file)
  }
  try {
    return withLiveReads(storeOver(new InThreadWriter(openSqliteEngine(engine)), sweepInThread(file)), file)
  } catch (error) {
    throw whyNotOpened(file, error)
  }
}
