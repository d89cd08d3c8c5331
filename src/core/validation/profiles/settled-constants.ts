import { refersToNothing } from '../constant.ts'

/** Constants of the resources we write that were found to keep certain rules, so need no second look for errors. */
export class SettledConstants {
  #settled: WeakSet<object> | undefined
  /** Most are asked about one constant again and again. */
  #last: unknown

  has(value: unknown): boolean {
    if (value === undefined || this.#settled === undefined) return false
    if (value === this.#last) return true
    if (!this.#settled.has(value as object)) return false
    this.#last = value
    return true
  }

  /** Remembers a value that kept the rules, when it will always keep them. */
  remember(value: unknown): void {
    if (typeof value === 'object' && value !== null && Object.isFrozen(value) && refersToNothing(value)) {
      this.#settled ??= new WeakSet()
      this.#settled.add(value)
    }
  }
}
