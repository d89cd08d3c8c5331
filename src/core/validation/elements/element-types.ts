import { LIMITS } from '../limits.ts'
import type { ElementRule } from './element-rule.ts'
import { ELEMENT_TABLE } from './element-table.generated.js'
import { propertyOf, readTokens, type Token } from './element-tokens.ts'
import { ELEMENT_ID, PRIMITIVE_FORMS, type PrimitiveForm } from './primitive-forms.ts'
import { type ConceptWords, codesOf, conceptsOf } from './required-words.ts'
import { LastRight } from './right-here.ts'

/** A complex R4 type, with everything the walk needs of it. */
export interface ComplexType {
  /** As the element table names it: `Quantity`, `Timing_Repeat`. */
  readonly name: string
  /** By JSON property. */
  readonly elements: ReadonlyMap<string, ElementOf>
  readonly required: readonly RequiredElement[]
  /** The bits of all required elements. */
  readonly requiredBits: number
  /** Rules asked of every element of this type. */
  readonly rules: readonly ElementRule[]
  /** Whether ele-1 applies: to every element, but not to a resource. */
  readonly isElement: boolean
}

/** What stands under one JSON property of a complex type. */
export class ElementOf {
  /** The name a FHIRPath uses for it: `value` for the property `valueQuantity`. */
  readonly path: string
  /** Name of its type: a primitive, a complex type, `Resource` for any resource, `Element` beside a primitive. */
  readonly typeName: string
  readonly primitive: PrimitiveForm | undefined
  readonly repeats: boolean
  /** Which choice of its type it is a variant of: 0 for none. */
  readonly choice: number
  /** The JSON property without the underscore that marks a primitive's extensions. */
  readonly variant: string
  /** Whether it carries the id and extensions of the primitive `variant`. */
  readonly extendsPrimitive: boolean
  /** The property of a primitive's extensions, or that of the primitive they belong to. */
  readonly companion: string
  /** Set in `requiredBits` when there must be at least one; 0 otherwise. */
  readonly bit: number
  /** The codes it may have, where the binding is required. */
  readonly words: ReadonlySet<string> | undefined
  /** The concepts it may have, where the binding is required. */
  readonly concepts: ConceptWords | undefined
  /** Resource types a Reference may lead to; undefined for any. */
  readonly targets: ReadonlySet<string> | undefined
  /** Whether it is a SimpleQuantity. */
  readonly isSimple: boolean
  /** Constants found right in it; only where these are lists or references, which no memory of values alone can hold. */
  readonly right: LastRight | undefined
  #lastText: string | undefined
  readonly #types: ComplexTypes
  #complex: ComplexType | undefined

  constructor(types: ComplexTypes, element: ElementParts) {
    this.#types = types
    this.path = element.path
    this.typeName = element.typeName
    this.primitive = element.primitive
    this.repeats = element.repeats
    this.choice = element.choice
    this.variant = element.variant
    this.extendsPrimitive = element.extendsPrimitive
    this.companion = element.companion
    this.bit = element.bit
    this.words = element.words
    this.concepts = element.concepts
    this.targets = element.targets
    this.isSimple = element.isSimple
    const isComplex = this.primitive === undefined && !this.extendsPrimitive && this.typeName !== 'Resource'
    this.right = isComplex && (this.repeats || this.typeName === 'Reference') ? new LastRight() : undefined
  }

  /** The last text found right in it: what stands next to each other often says the same. */
  get lastText(): string | undefined {
    return this.#lastText
  }

  /**
   * Whether a text of the right form is neither too long, nor perhaps blank, nor another word than is asked for. Prose is
   * not kept: it is of one person, and rarely comes again.
   */
  takesText(text: string): boolean {
    if (text.length > LIMITS.textLength || this.words?.has(text) === false) return false
    if (this.primitive?.isProse === true) return text.charCodeAt(0) > SPACE
    if (text.length <= LONGEST_KEPT) this.#lastText = text
    return true
  }

  /** Absent for primitives and for resources in a resource; read when it is first asked for. */
  get complex(): ComplexType | undefined {
    if (this.#complex === undefined && this.primitive === undefined && this.typeName !== 'Resource')
      this.#complex = this.#types.get(this.typeName)
    return this.#complex
  }
}

type ElementParts = Omit<ElementOf, 'complex' | 'right' | 'lastText' | 'takesText'>

/** Characters of the longest text that is kept. */
const LONGEST_KEPT = 256

const SPACE = 32

export interface RequiredElement {
  readonly path: string
  readonly bit: number
}

/** Gives each R4 type as it is asked for; reading the table of all types at once would slow the start. */
export class ComplexTypes {
  readonly #rules = new Map<string, ElementRule[]>()
  readonly #types = new Map<string, ComplexType>()

  /** Throws when a rule is on a type that R4 does not have. */
  constructor(rules: readonly ElementRule[]) {
    for (const rule of rules) {
      if (!Object.hasOwn(ELEMENT_TABLE, rule.on)) throw new Error(`Rule ${rule.key} is on no known type`)
      const known = this.#rules.get(rule.on)
      if (known === undefined) this.#rules.set(rule.on, [rule])
      else known.push(rule)
    }
  }

  /** The type as the element table names it; undefined when R4 has none of that name. */
  get(name: string): ComplexType | undefined {
    const known = this.#types.get(name)
    if (known !== undefined) return known
    if (!Object.hasOwn(ELEMENT_TABLE, name) || name === '*') return undefined
    const type = this.#read(name)
    this.#types.set(name, type)
    return type
  }

  #read(name: string): ComplexType {
    const { tokens, isResource } = readTokens(name)
    const elements = new Map<string, ElementOf>()
    const required: RequiredElement[] = []
    let choices = 0
    for (const token of tokens) {
      const bit = token.isRequired ? 2 ** required.length : 0
      const path = token.name === 'div' ? '`div`' : token.name
      if (token.isRequired) required.push({ path, bit })
      const choice = token.isChoice ? ++choices : 0
      for (const written of token.types)
        for (const element of this.#elementsOf(token, written, path, choice, bit))
          elements.set(element.extendsPrimitive ? `_${element.variant}` : element.variant, element)
    }
    if (required.length > MOST_BITS) throw new Error(`${name} requires more elements than a number has bits`)
    return {
      name,
      elements,
      required,
      requiredBits: 2 ** required.length - 1,
      rules: this.#rules.get(name) ?? [],
      isElement: !isResource,
    }
  }

  /** The element of one type of a token, and beside a primitive that of its extensions. */
  #elementsOf(token: Token, written: string, path: string, choice: number, bit: number): ElementOf[] {
    const [, typeName = '', simple, targets, words] = TYPE.exec(written) ?? []
    const variant = propertyOf(token, typeName)
    const isElementId = variant === 'id' && typeName === 'string'
    const primitive = isElementId ? ELEMENT_ID : PRIMITIVE_FORMS[typeName]
    const base = { path, repeats: token.repeats, choice, variant, bit }
    const element = new ElementOf(this, {
      ...base,
      typeName,
      primitive,
      extendsPrimitive: false,
      companion: `_${variant}`,
      words: primitive === undefined || words === undefined ? undefined : codesOf(words),
      concepts: primitive !== undefined || words === undefined ? undefined : conceptsOf(words),
      targets: targets === undefined || typeName !== 'Reference' ? undefined : new Set(targets.split(',')),
      isSimple: simple !== undefined,
    })
    if (primitive === undefined || typeName === 'xhtml' || variant === 'id') return [element]
    const extensions = new ElementOf(this, {
      ...base,
      typeName: 'Element',
      primitive: undefined,
      extendsPrimitive: true,
      companion: variant,
      words: undefined,
      concepts: undefined,
      targets: undefined,
      isSimple: false,
    })
    return [element, extensions]
  }
}

/** `Reference(Patient,Group)`, `code#observation-status`, `Quantity~`. */
const TYPE = /^(\w+)(~)?(?:\(([\w,]+)\))?(?:#(.+))?$/

/** Bitwise operators work on 32 bits with a sign. */
const MOST_BITS = 30
