import type { Chooser } from './chooser.ts'
import { copyOf, type JsonSlot, type JsonTree, putAt, slotsOf, valueAt } from './json-tree.ts'
import { INHERITED_NAMES, oddNumber, oddText } from './odd-values.ts'
import { randomJson, randomLeaf } from './random-json.ts'

type Spoil = (slot: JsonSlot, random: Chooser, all: readonly JsonSlot[]) => void

const SPOILS: readonly [Spoil, ...Spoil[]] = [
  function leaveOut({ parent, index }) {
    if ('items' in parent) parent.items.splice(index, 1)
    else parent.members.splice(index, 1)
  },
  function repeat(slot) {
    const { parent, index } = slot
    if ('items' in parent) parent.items.splice(index, 0, copyOf(valueAt(slot)))
    else parent.members.push([parent.members[index]?.[0] ?? '', copyOf(valueAt(slot))])
  },
  function exchangeWithAnother(slot, random, all) {
    const other = all[random.place(all.length)] ?? slot
    const [one, two] = [copyOf(valueAt(slot)), copyOf(valueAt(other))]
    putAt(slot, two)
    putAt(other, one)
  },
  function ofAnotherType(slot, random) {
    const value = valueAt(slot)
    const text = 'text' in value ? value.text : ''
    if (text.startsWith('"')) putAt(slot, random.of([{ text: oddNumber(random) }, { items: [value] }]))
    else if (text === '') putAt(slot, random.of([{ items: [value] }, randomLeaf(random)]))
    else putAt(slot, random.of([{ text: JSON.stringify(text) }, { members: [['value', value]] }]))
  },
  function extremeNumber(slot, random) {
    putAt(slot, { text: oddNumber(random) })
  },
  function oddTextInstead(slot, random) {
    putAt(slot, { text: JSON.stringify(oddText(random)) })
  },
  function anyValue(slot, random) {
    putAt(slot, randomJson(random))
  },
  function deeplyNested(slot, random) {
    let value = valueAt(slot)
    const depth = random.of([2, 12, 30, 31, 32, 33, 400])
    for (let level = 0; level < depth; level += 1) value = { items: [value] }
    putAt(slot, value)
  },
  function inheritedName({ parent, index }, random) {
    const name = random.of(INHERITED_NAMES)
    if ('members' in parent && random.happens(0.5)) parent.members[index] = [name, randomLeaf(random)]
    else if ('members' in parent) parent.members.push([name, randomJson(random, 2)])
    else parent.items[index] = { members: [[name, randomLeaf(random)]] }
  },
  function anotherName({ parent, index }, random) {
    const member = 'members' in parent ? parent.members[index] : undefined
    if (member !== undefined)
      member[0] = random.of(['', 'ﬀ', 'é', 'x'.repeat(300), `${member[0]} `, 'subject'])
  },
]

/** Spoils a JSON document in one place, whichever it is. */
export function spoilJson(tree: JsonTree, random: Chooser): void {
  const slots = slotsOf(tree)
  const slot = slots[random.place(slots.length)]
  if (slot !== undefined) random.of(SPOILS)(slot, random, slots)
}
