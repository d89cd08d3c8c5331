import { placeText } from '../place-text.ts'

/** A step from a resource down: a name as in a FHIRPath, or a position in a list. */
export type Step = string | number

/**
 * Where a walk is. Steps left behind are overwritten and not taken off, because a list that shrinks and grows with every
 * element gives its room back and asks for it again each time.
 */
export class Path {
  readonly #steps: Step[] = []
  #length = 0

  get length(): number {
    return this.#length
  }

  enter(step: Step): void {
    this.#steps[this.#length++] = step
  }

  leave(): void {
    this.#length--
  }

  /** The steps so far. */
  taken(): readonly Step[] {
    return this.#steps.slice(0, this.#length)
  }

  /** As a FHIRPath from where the resource stands. */
  text(start: string): string {
    return placeText(start, this.taken())
  }

  /** Whether it leads to an extension that is one of the extensions of an extension. */
  isInExtension(): boolean {
    const parent = this.#steps[this.#length - 4]
    const isItem = typeof this.#steps[this.#length - 3] === 'number'
    return this.#length >= 4 && isItem && (parent === 'extension' || parent === 'modifierExtension')
  }
}
