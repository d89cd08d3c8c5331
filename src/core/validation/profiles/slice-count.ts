import { isJsonObject } from '../../basics/json-object.ts'
import { refersToNothing } from '../constant.ts'
import type { ElementRules } from './element-rules.ts'
import { finding } from './finding.ts'
import type { Judging } from './judging.ts'
import { unsupported } from './unsupported.ts'

/** Sorts the items of one sliced element into its slices, holds them to these, and counts. */
export class SliceCount {
  readonly #rules: ElementRules
  readonly #counts: number[]
  /** Position of the slice an item was last put into, for slices that have an order. */
  #last = -1
  #unsorted = false
  /** Whether of some item it could not be told which slice it is in. */
  #unsure = false

  constructor(rules: ElementRules) {
    this.#rules = rules
    this.#counts = new Array<number>(rules.slices.length).fill(0)
  }

  /** The judgement stands at the item. */
  take(item: unknown, type: string | undefined, judgement: Judging): void {
    const { key, sorted } = this.#rules
    const child = key !== undefined && isJsonObject(item) ? item[key] : undefined
    const known = isJsonObject(child) ? sorted.get(child) : undefined
    const positions = known ?? this.#positionsOf(item, type, judgement)
    if (known === undefined && isJsonObject(child) && !this.#unsure && refersToNothing(child))
      sorted.set(child, positions)
    for (let i = 0; i < positions.length; i++) this.#put(item, type, positions[i] ?? 0, judgement)
    if (positions.length === 0 && !this.#unsure) this.#takeUnsorted(judgement)
  }

  #positionsOf(item: unknown, type: string | undefined, judgement: Judging): readonly number[] {
    const { slices } = this.#rules
    const positions: number[] = []
    for (let i = 0; i < slices.length; i++) {
      const slice = slices[i]
      if (slice?.inSlice === undefined) continue
      const isIn = slice.inSlice(item, type, judgement)
      if (isIn === true) positions.push(i)
      else if (isIn === undefined) this.#doubt(slice, judgement)
    }
    return positions
  }

  #put(item: unknown, type: string | undefined, position: number, judgement: Judging): void {
    const slice = this.#rules.slices[position]
    if (slice === undefined) return
    this.#counts[position] = (this.#counts[position] ?? 0) + 1
    judgement.item(item, slice, type)
    this.#checkOrder(position, judgement)
  }

  /** Reports the slices that are missing or too many. Answers how many items are missing for certain. */
  settle(judgement: Judging): number {
    let missing = 0
    const { slices, name, element } = this.#rules
    for (let i = 0; i < slices.length; i++) {
      const slice = slices[i]
      if (slice?.inSlice === undefined) continue
      const { min, minBy, max, maxBy, told, toldKey, mustSupport } = slice
      const count = this.#counts[i] ?? 0
      if (minBy !== undefined && count < min && !this.#unsure) {
        missing += min - count
        const expected = `${min === 1 ? 'one' : `at least ${min}`} ${name} with ${told}`
        judgement.add(
          finding(
            `slice ${toldKey}`,
            'required',
            minBy,
            judgement.at(name),
            expected,
            'Add what is missing.',
          ),
        )
      } else if (maxBy !== undefined && count > max) {
        const expected = `${max === 0 ? 'no' : `at most ${max}`} ${name} with ${told}`
        judgement.add(
          finding(
            element?.isChoice === true ? 'most' : `slices ${toldKey}`,
            'structure',
            maxBy,
            judgement.at(name),
            expected,
            'Remove what is too many.',
          ),
        )
      }
      if (count === 0 && mustSupport !== undefined && judgement.mustSupport)
        judgement.add(unsupported(slice, judgement.at(name)))
    }
    return missing
  }

  #doubt({ minBy, maxBy, id }: ElementRules, judgement: Judging): void {
    this.#unsure = true
    const by = minBy ?? maxBy ?? this.#rules.slicing?.by
    if (by !== undefined) judgement.notJudged(by, `what is in ${id}, which rests on resources not at hand`)
  }

  #takeUnsorted(judgement: Judging): void {
    const { slicing, slices } = this.#rules
    this.#unsorted = true
    if (slicing?.rules !== 'closed' || slices.some(({ inSlice }) => inSlice === undefined)) return
    const expected = `one of: ${slices.map(({ told }) => told).join('; ')}`
    judgement.add(
      finding(
        'closed',
        'structure',
        slicing.by,
        judgement.at(),
        expected,
        'Remove it: the profile allows no others here.',
      ),
    )
  }

  #checkOrder(position: number, judgement: Judging): void {
    const { slicing } = this.#rules
    if (slicing?.rules === 'openAtEnd' && this.#unsorted) {
      const expected = 'the items the profile knows before all others'
      judgement.add(
        finding('order', 'structure', slicing.by, judgement.at(), expected, 'Move it to the front.'),
      )
    } else if (slicing?.isOrdered === true && position < this.#last) {
      const expected = 'the items in the order of the profile'
      judgement.add(
        finding('order', 'structure', slicing.by, judgement.at(), expected, 'Put them in that order.'),
      )
    }
    this.#last = Math.max(this.#last, position)
  }
}
