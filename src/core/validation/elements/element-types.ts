import type { ElementRule } from './element-rule.ts'
import { ELEMENT_TABLE } from './element-table.generated.js'
import { REQUIRED_PRIMITIVES } from './required-primitives.ts'

/** A complex R4 type, with everything the walk needs of it resolved beforehand. */
export interface ComplexType {
  readonly name: string
  /** By JSON property. */
  readonly elements: ReadonlyMap<string, ElementOf>
  readonly required: readonly RequiredElement[]
  /** Rules asked of every element of this type. */
  readonly rules: readonly ElementRule[]
  /** Whether any element is a choice, `value[x]`. */
  readonly hasChoices: boolean
  /** Whether ele-1 applies: to every element, but not to a resource. */
  readonly isElement: boolean
}

export interface ElementOf {
  /** The name a FHIRPath uses for it. */
  readonly path: string
  readonly typeName: string
  /** Absent for primitives and for resources in a resource. */
  readonly complex: ComplexType | undefined
  readonly repeats: boolean
  /** Whether its text begins with a day that must be in the calendar. */
  readonly isDay: boolean
  /** Which choice of its type it is a variant of: 0 for none, 1, 2. No R4 type here has more. */
  readonly choice: 0 | 1 | 2
  /** The JSON property without the underscore that marks a primitive's extensions. */
  readonly variant: string
  /** Whether it carries the id and extensions of the primitive `variant`. */
  readonly extendsPrimitive: boolean
}

export interface RequiredElement {
  readonly path: string
  /** JSON properties any of which satisfies it. */
  readonly properties: readonly string[]
}

const DAY_TYPES: ReadonlySet<string> = new Set(['date', 'dateTime', 'instant'])

/** Resolves the element table with the rules of each type. */
export function complexTypes(rules: readonly ElementRule[]): ReadonlyMap<string, ComplexType> {
  const types = new Map<string, ComplexType & { elements: Map<string, ElementOf> }>()
  for (const [name, properties] of Object.entries(ELEMENT_TABLE)) {
    types.set(name, {
      name,
      elements: new Map(),
      required: requiredElements(name, Object.keys(properties)),
      rules: rules.filter((rule) => rule.on === name),
      hasChoices: Object.entries(properties).some(isVariant),
      isElement: !('resourceType' in properties),
    })
  }
  for (const type of types.values()) {
    const choices: string[] = []
    for (const [property, [written, path = property]] of Object.entries(ELEMENT_TABLE[type.name] ?? {})) {
      const typeName = written.replace('[]', '')
      const variant = property.replace(/^_/, '')
      if (variant !== path && !choices.includes(path)) choices.push(path)
      type.elements.set(property, {
        path: path === 'div' ? '`div`' : path,
        typeName,
        complex: types.get(typeName),
        repeats: written.endsWith('[]'),
        isDay: DAY_TYPES.has(typeName),
        choice: choiceNumber(variant === path ? -1 : choices.indexOf(path)),
        variant,
        extendsPrimitive: property.startsWith('_'),
      })
    }
  }
  for (const rule of rules) if (!types.has(rule.on)) throw new Error(`Rule ${rule.key} is on no known type`)
  return types
}

/** Whether the property is one variant of a choice: it is called otherwise in a FHIRPath, underscore aside. */
function isVariant([property, [, path = property]]: [string, readonly [string, string?]]): boolean {
  return property.replace(/^_/, '') !== path.replace(/^_/, '')
}

function choiceNumber(index: number): 0 | 1 | 2 {
  if (index > 1) throw new Error('A type with three choices: give the walk a third one to remember')
  return index === -1 ? 0 : index === 0 ? 1 : 2
}

function requiredElements(type: string, properties: readonly string[]): RequiredElement[] {
  return (REQUIRED_PRIMITIVES[type] ?? []).map((path) => {
    const matching = properties.filter((property) => {
      const [, written = property] = ELEMENT_TABLE[type]?.[property] ?? []
      return written === path
    })
    if (matching.length === 0) throw new Error(`${type} has no element ${path}`)
    return { path, properties: matching }
  })
}
