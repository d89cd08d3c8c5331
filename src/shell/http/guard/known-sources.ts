import type { Store } from '../../../flow/ports/ports.ts'

/**
 * Which sources are registered. A source is never removed, so a name seen once is known for good; an unknown name is
 * looked up each time, since it may just have been registered.
 */
export class KnownSources {
  readonly #store: Pick<Store, 'sources'>
  readonly #names = new Set<string>()

  constructor(store: Pick<Store, 'sources'>) {
    this.#store = store
  }

  async has(name: string): Promise<boolean> {
    if (this.#names.has(name)) return true
    for (const source of await this.#store.sources()) this.#names.add(source.name)
    return this.#names.has(name)
  }
}
