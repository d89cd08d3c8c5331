import type { AccessKey } from '../../../core/registry/source.ts'
import type { Statement } from '../connection/database.ts'
import type { ReadOnlyFile } from '../connection/read-only-file.ts'
import { KeyRows } from './key-rows.ts'

/** Keys remembered; what is presented and opens nothing is not. */
const MOST = 1_000

/**
 * Keys as they are in the file now. One is answered from memory only while nobody has written to the file, so that one
 * revoked by another process opens nothing from then on.
 */
export class LiveKeys {
  readonly #rows: KeyRows
  readonly #version: Statement<{ data_version: number }>
  readonly #known = new Map<string, AccessKey>()
  #seen: number | undefined

  constructor(file: ReadOnlyFile) {
    this.#rows = new KeyRows(file)
    this.#version = file.prepare('PRAGMA data_version')
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
}
