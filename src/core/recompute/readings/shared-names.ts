/** One name of somebody: a URL, an identifier. Those of one form tell people apart. */
export interface Name {
  readonly form: string
  readonly text: string
}

/** Who is who by their names: those that share a name are one, however many steps lead from one to the other. */
export class SharedNames {
  readonly #above = new Map<string, string>()
  /** The forms of the names of each group, by its top. */
  readonly #forms = new Map<string, Set<string>>()
  readonly #alike = new Map<string, boolean>()

  /** Makes one group of all that goes by any of these names, and answers with it. Undefined without a name. */
  enter(names: readonly Name[]): string | undefined {
    let group: string | undefined
    for (const name of names) {
      const other = this.#groupOf(name)
      group = group === undefined ? other : this.#join(group, other)
    }
    return group
  }

  /** The same text for all of one group. Holds until more is entered. */
  top(name: string): string {
    let top = name
    for (let above = this.#above.get(top); above !== undefined; above = this.#above.get(top)) top = above
    for (let at = name; at !== top; ) {
      const above = this.#above.get(at) ?? top
      this.#above.set(at, top)
      at = above
    }
    return top
  }

  /** Whether two groups have names of one form: then they are two, as they share none. */
  haveOneForm(a: string, b: string): boolean {
    const key = `${a}\n${b}`
    let known = this.#alike.get(key)
    if (known === undefined) {
      const [of, beside] = [this.#formsOf(a), this.#formsOf(b)]
      const [fewer, more] = of.size < beside.size ? [of, beside] : [beside, of]
      known = [...fewer].some((form) => more.has(form))
      this.#alike.set(key, known)
    }
    return known
  }

  #groupOf({ form, text }: Name): string {
    const name = JSON.stringify([form, text])
    const group = this.top(name)
    this.#formsOf(group).add(form)
    return group
  }

  #formsOf(group: string): Set<string> {
    const known = this.#forms.get(group) ?? new Set()
    this.#forms.set(group, known)
    return known
  }

  #join(a: string, b: string): string {
    if (a === b) return a
    const [top, below] = this.#formsOf(a).size < this.#formsOf(b).size ? [b, a] : [a, b]
    const forms = this.#formsOf(top)
    for (const form of this.#formsOf(below)) forms.add(form)
    this.#forms.delete(below)
    this.#above.set(below, top)
    this.#alike.clear()
    return top
  }
}
