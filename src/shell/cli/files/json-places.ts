import { type Node, parseTree } from 'jsonc-parser'

/** A place in a text, both 1-based; columns are UTF-16 code units, as editors count them. */
export interface TextPlace {
  readonly line: number
  readonly column: number
}

/** Finds where the elements of a resource stand in the JSON text it was written as. */
export class JsonPlaces {
  readonly #root: Node | undefined
  readonly #lineStarts: readonly number[]

  /** @param text as it was written, without a byte order mark. Text that is no JSON is read as far as it goes. */
  constructor(text: string) {
    this.#root = parseTree(text)
    this.#lineStarts = lineStartsOf(text)
  }

  /**
   * The place of an element, or of the nearest one around it that is there: an issue about an absent element is placed
   * where it would have to be added.
   *
   * @param at a FHIRPath from the resource, as issues have it: `Observation.component[0].value`.
   * @param item 1-based position of the resource where the text is an array of them.
   */
  of(at: string, item?: number): TextPlace | undefined {
    let here = item === undefined ? this.#root : this.#root?.children?.[item - 1]
    if (here === undefined) return undefined
    let { offset } = here
    for (const [index, [name, position]] of stepsOf(at).entries()) {
      const member = memberOf(here, name)
      // The first step may be the type, which is no element.
      if (member === undefined && index === 0) continue
      if (member === undefined) break
      offset = member.offset
      here = position === undefined ? member.value : member.value?.children?.[position]
      if (here === undefined) break
      if (position !== undefined) offset = here.offset
    }
    return this.#placeOf(offset)
  }

  #placeOf(offset: number): TextPlace {
    let low = 0
    let high = this.#lineStarts.length - 1
    while (low < high) {
      const middle = (low + high + 1) >> 1
      if ((this.#lineStarts[middle] ?? 0) <= offset) low = middle
      else high = middle - 1
    }
    return { line: low + 1, column: offset - (this.#lineStarts[low] ?? 0) + 1 }
  }
}

type Step = readonly [name: string, position: number | undefined]

/** Names and positions from the left, as far as they are plain; a function such as `where(…)` ends them. */
function stepsOf(at: string): readonly Step[] {
  const steps: Step[] = []
  for (const part of at.split('.')) {
    const plain = /^([A-Za-z_]\w*)(?:\[(\d+)\])?$/.exec(part)
    if (plain?.[1] === undefined) break
    steps.push([plain[1], plain[2] === undefined ? undefined : Number(plain[2])])
  }
  return steps
}

interface Member {
  /** Where its key begins. */
  readonly offset: number
  readonly value: Node | undefined
}

/**
 * An element of an object: under its own key, under that of a choice such as `valueQuantity` for `value`, or of its
 * extensions.
 */
function memberOf(object: Node, name: string): Member | undefined {
  if (object.type !== 'object') return undefined
  const choice = new RegExp(`^${name}[A-Z]`)
  const members = object.children ?? []
  const found =
    members.find((one) => keyOf(one) === name) ??
    members.find((one) => choice.test(keyOf(one))) ??
    members.find((one) => keyOf(one) === `_${name}`)
  return found === undefined ? undefined : { offset: found.offset, value: found.children?.[1] }
}

function keyOf({ children }: Node): string {
  return String(children?.[0]?.value)
}

function lineStartsOf(text: string): readonly number[] {
  const starts = [0]
  for (let at = text.indexOf('\n'); at !== -1; at = text.indexOf('\n', at + 1)) starts.push(at + 1)
  return starts
}
