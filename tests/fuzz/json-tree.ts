/**
 * JSON text taken apart, so that it can be spoilt in ways a value cannot hold: a key twice, a number beyond all numbers.
 */
export type JsonTree = JsonMembers | JsonItems | JsonLeaf

export interface JsonMembers {
  members: [key: string, value: JsonTree][]
}

export interface JsonItems {
  items: JsonTree[]
}

/** Anything else, as it is written. */
export interface JsonLeaf {
  text: string
}

export function jsonTree(value: unknown): JsonTree {
  if (Array.isArray(value)) return { items: value.map(jsonTree) }
  if (typeof value !== 'object' || value === null) return { text: JSON.stringify(value) ?? 'null' }
  return { members: Object.entries(value).map(([key, member]) => [key, jsonTree(member)]) }
}

export function copyOf(tree: JsonTree): JsonTree {
  return structuredClone(tree)
}

export function treeText(tree: JsonTree): string {
  if ('text' in tree) return tree.text
  if ('items' in tree) return `[${tree.items.map(treeText).join(',')}]`
  return `{${tree.members.map(([key, value]) => `${JSON.stringify(key)}:${treeText(value)}`).join(',')}}`
}

/** A place in a tree whose value can be exchanged. */
export interface JsonSlot {
  readonly parent: JsonMembers | JsonItems
  readonly index: number
}

/** Every place below the top. */
export function slotsOf(tree: JsonTree): readonly JsonSlot[] {
  if ('text' in tree) return []
  const inner = 'items' in tree ? tree.items : tree.members.map(([, value]) => value)
  return inner.flatMap((value, index) => [{ parent: tree, index }, ...slotsOf(value)])
}

export function valueAt({ parent, index }: JsonSlot): JsonTree {
  const value = 'items' in parent ? parent.items[index] : parent.members[index]?.[1]
  return value ?? { text: 'null' }
}

export function putAt({ parent, index }: JsonSlot, value: JsonTree): void {
  if ('items' in parent) parent.items[index] = value
  else if (parent.members[index] !== undefined) parent.members[index][1] = value
}
