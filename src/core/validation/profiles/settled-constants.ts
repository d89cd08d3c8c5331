import { refersToNothing } from '../constant.ts'

/** Constants of the resources we write that were found to keep certain rules, so need no second look for errors. */
export class SettledConstants {
  readonly #settled = new WeakSet<object>()

  has(value: unknown): boolean {
    return this.#settled.has(value as object)
  }

  /** Remembers a value that kept the rules, when it will always keep them. */
  remember(value: unknown): void {
    if (typeof value === 'object' && value !== null && Object.isFrozen(value) && refersToNothing(value))
      this.#settled.add(value)
  }
}
