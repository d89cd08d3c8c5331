import { EXTENSIBLE_BINDINGS } from '../codes/published-codes.generated.js'
import { ELEMENT_TABLE } from '../elements/element-table.generated.js'

/** What R4 itself says about one element of a type, so that a profile is asked only for what it adds. */
export interface R4Element {
  /** As in a FHIRPath: `value` for `value[x]`. */
  readonly name: string
  readonly isChoice: boolean
  readonly min: number
  readonly max: number
  /** One, or one for each type of a choice. */
  readonly variants: readonly R4Variant[]
  /** Last segment of the value set it is bound to, required or extensible. */
  readonly valueSet: string | undefined
}

export interface R4Variant {
  /** JSON property: `valueQuantity`. */
  readonly key: string
  /** The property that carries a primitive's id and extensions. */
  readonly sibling: string
  /** The type as the element table names it: `Quantity`, `Observation_Component`. */
  readonly type: string
  readonly isPrimitive: boolean
  /** Resource types it may refer to; undefined for any. */
  readonly targets: readonly string[] | undefined
}

/** The elements of a type by name; undefined for a type that is not spoken here. Each type is read once. */
export function r4Elements(type: string): ReadonlyMap<string, R4Element> | undefined {
  const known = read.get(type)
  if (known !== undefined) return known
  const written = Object.hasOwn(ELEMENT_TABLE, type) ? ELEMENT_TABLE[type] : undefined
  if (written === undefined) return undefined
  const elements = new Map<string, R4Element>()
  for (const word of written.split(' ')) {
    const parts = WORD.exec(word)
    if (parts === null) for (const [name, one] of r4Elements(word) ?? []) elements.set(name, one)
    else {
      const element = elementOf(type, parts)
      elements.set(element.name, element)
    }
  }
  read.set(type, elements)
  return elements
}

const read = new Map<string, ReadonlyMap<string, R4Element>>()

/** Name, whether it is a choice, cardinality, types: as `element-table.generated.d.ts` describes them. */
const WORD = /^(\w+)(\[x\])?([?!*+])(.*)$/

function elementOf(
  of: string,
  [, name = '', choice, cardinality = '?', types = '']: RegExpExecArray,
): R4Element {
  const variants = (types === '*' ? (ELEMENT_TABLE['*'] ?? '') : types)
    .split('|')
    .map((written): R4Variant => {
      const [, type = '', targets] = /^(\w+)(?:\((.*?)\))?/.exec(written) ?? []
      const key = choice === undefined ? name : name + type.charAt(0).toUpperCase() + type.slice(1)
      return {
        key,
        sibling: `_${key}`,
        type,
        isPrimitive: /^[a-z]/.test(type),
        targets: targets?.split(','),
      }
    })
  return {
    name,
    isChoice: choice !== undefined,
    min: cardinality === '!' || cardinality === '+' ? 1 : 0,
    max: cardinality === '*' || cardinality === '+' ? Number.POSITIVE_INFINITY : 1,
    variants,
    valueSet: /#(\S+)/.exec(types)?.[1] ?? extensibleSet(of, name),
  }
}

function extensibleSet(type: string, name: string): string | undefined {
  const found = EXTENSIBLE_BINDINGS.find(([of, property]) => of === type && property === name)
  return found?.[2].slice(found[2].lastIndexOf('/') + 1)
}
