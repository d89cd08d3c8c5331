import type { Database } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import type { Inbox } from './inbox.ts'
import type { IdKey } from './lookup-keys.ts'
import { mergeRun } from './merge.ts'

/** Merging as it goes on, a few milliseconds at a time. */
export class Merging {
  readonly #database: Database
  readonly #inbox: Inbox
  readonly #sources: SourceNumbers
  readonly #idKey: IdKey
  #run: Generator<void, void> | undefined

  constructor(database: Database, inbox: Inbox, sources: SourceNumbers, idKey: IdKey) {
    this.#database = database
    this.#inbox = inbox
    this.#sources = sources
    this.#idKey = idKey
  }

  /** Merges a little. False when everything was merged. */
  step(): boolean {
    this.#run ??= mergeRun(this.#database, this.#inbox, this.#sources, this.#idKey)
    try {
      if (this.#run.next().done !== true) return true
    } catch (error) {
      this.#run = undefined
      throw error
    }
    this.#run = undefined
    return this.#inbox.unmerged > 0
  }

  /** Merges a little towards an inbox place. False when the merge has passed it. */
  stepTowards(seq: number): boolean {
    if (this.#database.read(() => this.#inbox.mergedTo) >= seq) return false
    this.step()
    return true
  }
}
