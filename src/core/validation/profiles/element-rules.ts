import type { JsonObject } from '../../basics/json-object.ts'
import type { KnownConstraint } from './known-constraints.ts'
import { type R4Element, type R4Variant, r4Elements } from './r4-elements.ts'
import { SettledConstants } from './settled-constants.ts'

/** The StructureDefinition that states a rule. */
export interface Source {
  /** Last segment of its URL. */
  readonly name: string
  /** Its distance from R4: 1 for a profile on an R4 type. Of two that say the same, the nearer is named. */
  readonly rank: number
}

export interface Stated<T> {
  readonly value: T
  readonly by: Source
}

export interface Binding {
  readonly strength: 'required' | 'extensible'
  /** Whether a code outside the value set is an error. */
  readonly isError: boolean
  readonly valueSet: string
  readonly by: Source
}

export interface Constraint {
  readonly key: string
  readonly expression: string
  readonly isError: boolean
  readonly human: string
  /** Its code, where it has code of its own. */
  readonly known: KnownConstraint | undefined
  readonly by: Source
}

export interface Slicing {
  readonly discriminators: readonly { readonly type: string; readonly path: string }[]
  readonly rules: string
  readonly isOrdered: boolean
  readonly by: Source
}

/**
 * Whether an item of a sliced element is in a slice; undefined where that rests on a resource that is not at hand. `type`
 * is the R4 type of the item, where it is known.
 */
export type InSlice = (item: unknown, type: string | undefined, judged: Judged) => boolean | undefined

/** What a discriminator may ask of the judgement under way. */
export interface Judged {
  /** The resource a reference leads to, where it is at hand. */
  resolve(reference: unknown): JsonObject | undefined
  meets(resource: JsonObject, profile: string): boolean
}

/**
 * What a profile demands of one element beyond R4, and of the elements below it: a tree that a judgement walks beside
 * the resource. Of a slice, and of what is below it, only what is not said of the element outside the slice already.
 */
export class ElementRules {
  /** `Observation.component:SystolicBP.code` */
  readonly id: string
  /** As in a FHIRPath: `value` for `value[x]`. */
  readonly name: string
  /** The property beside it that carries a primitive's id and extensions. */
  readonly sibling: string
  readonly element: R4Element | undefined
  /** The same element outside the slice. */
  readonly general: ElementRules | undefined
  readonly sliceName: string | undefined
  /** Where it may stand in JSON; of a choice, the variants that are allowed come first. */
  variants: readonly R4Variant[]
  min = 0
  minBy: Source | undefined = undefined
  max = Number.POSITIVE_INFINITY
  maxBy: Source | undefined = undefined
  fixed: Stated<unknown> | undefined = undefined
  pattern: Stated<unknown> | undefined = undefined
  /** Types of a choice, or of a resource within, that are left. */
  types: Stated<readonly string[]> | undefined = undefined
  targets: Stated<readonly string[]> | undefined = undefined
  /** Profiles of an extension, a data type or a resource within, any of which it must meet. */
  profiles: Stated<readonly string[]> | undefined = undefined
  bindings: Binding[] = []
  constraints: Constraint[] = []
  maxLength: Stated<number> | undefined = undefined
  least: Stated<unknown> | undefined = undefined
  most: Stated<unknown> | undefined = undefined
  mustSupport: Source | undefined = undefined
  contentReference: string | undefined = undefined
  slicing: Slicing | undefined = undefined
  slices: ElementRules[] = []
  /**
   * The one child by which all its slices are told apart, where there is one; and in which slices a constant child puts an
   * item.
   */
  key: string | undefined = undefined
  readonly sorted = new WeakMap<object, readonly number[]>()
  /** Of a slice whose discriminators can be applied. */
  inSlice: InSlice | undefined = undefined
  /** Of a slice: what tells it from others, in words, and as a key that two profiles share for the same slice. */
  told = ''
  toldKey = ''
  children = new Map<string, ElementRules>()
  /** The children that can be broken, and those that can be broken by an error. Set when the tree is whole. */
  all: readonly ElementRules[] = []
  withErrors: readonly ElementRules[] = []
  /** Whether a value itself is judged, beside what is in it. */
  hasValueRules = false
  /** Whether nothing is asked but that it is there, and if `fixed` is a text, that it is this one. */
  isQuick = false
  /** What was found right as the element with all its items, counted, and what as one item of it. */
  readonly settled = new SettledConstants()
  readonly settledItems = new SettledConstants()

  constructor(
    id: string,
    name: string,
    element: R4Element | undefined,
    general: ElementRules | undefined,
    sliceName: string | undefined,
    variants: readonly R4Variant[],
  ) {
    this.id = id
    this.name = name
    this.sibling = `_${name}`
    this.element = element
    this.general = general
    this.sliceName = sliceName
    this.variants = variants
  }

  /** The type what is below it belongs to; undefined where several are left. */
  get type(): string | undefined {
    const [only, another] = this.allowed
    return another === undefined ? only?.type : undefined
  }

  get allowed(): readonly R4Variant[] {
    const { variants } = this
    const types = this.types ?? this.general?.types
    return types === undefined || this.element?.isChoice !== true
      ? variants
      : variants.filter(({ type }) => types.value.includes(type))
  }

  /** The rules of a child, made when it has none yet; undefined when the type has no such element. */
  child(name: string): ElementRules | undefined {
    const known = this.children.get(name)
    if (known !== undefined) return known
    const element = this.elementOf(name)
    if (element === undefined) return undefined
    const id = `${this.id}.${name}${element.isChoice ? '[x]' : ''}`
    const made = new ElementRules(id, name, element, this.general?.child(name), undefined, element.variants)
    this.children.set(name, made)
    return made
  }

  /** The rules of one slice of it, made when there are none yet. */
  slice(name: string): ElementRules {
    const known = this.slices.find(({ sliceName }) => sliceName === name)
    if (known !== undefined) return known
    const made = new ElementRules(`${this.id}:${name}`, this.name, this.element, this, name, this.variants)
    this.slices.push(made)
    return made
  }

  elementOf(name: string): R4Element | undefined {
    const { type } = this
    if (type !== undefined) return r4Elements(type)?.get(name) ?? r4Elements('Element')?.get(name)
    return r4Elements('Element')?.get(name)
  }
}

/** The root of a tree: the rules of a resource or of an extension as a whole. */
export function rootRules(type: string): ElementRules {
  const itself: R4Variant = { key: type, sibling: '', type, isPrimitive: false, targets: undefined }
  return new ElementRules(type, type, undefined, undefined, undefined, [itself])
}
