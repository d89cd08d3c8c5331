/** Where a walk stands, kept as steps, and written as a FHIRPath only when something is to be said there. */
export class Place {
  #start = ''
  readonly #names: string[] = []
  readonly #indexes: number[] = []
  #depth = 0

  begin(at: string): void {
    this.#start = at
    this.#depth = 0
  }

  /** @param index -1 for an element that stands alone. */
  enter(name: string, index: number): void {
    this.#names[this.#depth] = name
    this.#indexes[this.#depth++] = index
  }

  leave(): void {
    this.#depth--
  }

  /** The place itself, or one of its elements. */
  text(child?: string): string {
    let text = this.#start
    for (let i = 0; i < this.#depth; i++) {
      const index = this.#indexes[i] ?? -1
      text += `.${escaped(this.#names[i] ?? '')}${index === -1 ? '' : `[${index}]`}`
    }
    return child === undefined ? text : `${text}.${escaped(child)}`
  }
}

/** `div` is an operator of FHIRPath; the only element here that is called like one. */
function escaped(name: string): string {
  return name === 'div' ? '`div`' : name
}
