import type { ErrorCode } from '../../basics/error-codes.ts'
import type { Issue } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { Resource } from '../layer.ts'
import { LIMITS } from '../limits.ts'
import { ContainedResources } from './contained-resources.ts'
import {
  beyondLimit,
  brokenRule,
  emptyElement,
  emptyList,
  missingElements,
  notAResource,
  relativeExtension,
  strayComparator,
  strayNull,
  straySpace,
  twoVariants,
  unknownElement,
  wrongForm,
  wrongKind,
  wrongWord,
} from './element-issue.ts'
import { RESOURCE_TYPES } from './element-tokens.ts'
import type { ComplexType, ElementOf } from './element-types.ts'
import { Met } from './met.ts'
import { Path } from './path.ts'
import { expectedForm } from './primitive-forms.ts'
import { referenceFault, wrongReference } from './reference-target.ts'
import { isRequiredConcept, wrongConcept } from './required-words.ts'
import { meetAgain, type Standing, standing } from './right-here.ts'
import type { RuleSet } from './rule-set.ts'
import { isBlank, isRelativeUri } from './texts.ts'

/**
 * The one walk through a resource: visits each element with its R4 type, judges name, kind, form, number and words by the
 * table, and asks the rules of that type.
 *
 * It also sees to the limits, so it goes first: what comes after may recurse as it likes. Below an element the type does
 * not have, or of the wrong kind, it does not look. Contained resources are walked with their container, because
 * references run between them; other resources inside are only listed.
 */
export class ElementWalk {
  readonly met = new Met()
  readonly #rules: RuleSet
  readonly #root: Resource
  readonly #contained: ContainedResources
  readonly #at: string
  readonly #issues: Issue[] = []
  /** Where the walk is: names and list indices from the root. */
  readonly #path = new Path()
  #stopped = false
  #depth = 0
  #seen = 0

  constructor(rules: RuleSet, root: Resource, at: string) {
    this.#rules = rules
    this.#root = root
    this.#contained = new ContainedResources(root)
    this.#at = at
  }

  /** Everything it found; beyond a limit only that. */
  run(): readonly Issue[] {
    const type = this.#rules.types.get(this.#root.resourceType)
    if (type !== undefined) this.#object(this.#root, type)
    return this.#issues
  }

  /** @param isBare whether it may hold an id alone: beside a primitive that has its value. */
  #object(object: JsonObject, type: ComplexType, isBare = false): void {
    if (++this.#depth > LIMITS.depth) {
      this.#stop('TOO_DEEP', `at most ${LIMITS.depth} levels of elements`)
      return
    }
    let hasChild = false
    let found = 0
    let variants: ElementOf[] | undefined
    for (const property in object) {
      const value = object[property]
      if (value === undefined) continue
      if (++this.#seen > LIMITS.elements) {
        this.#stop('TOO_MANY', `at most ${LIMITS.elements} elements in one resource`)
        return
      }
      if (!hasChild && (property !== 'id' || isBare)) hasChild = true
      const element = type.elements.get(property)
      if (element === undefined) {
        if (property !== 'resourceType' || type.isElement)
          this.#issues.push(unknownElement(this.#place(), property))
        continue
      }
      found |= element.bit
      if (element.choice !== 0) variants = this.#variant(element, variants)
      const { primitive } = element
      if (primitive !== undefined && !element.repeats) {
        // Most values are right, and of these nothing more need be asked.
        if (value === element.lastText) continue
        const isRight = typeof value === primitive.json && primitive.holds(value as never)
        if (isRight && (typeof value !== 'string' || element.takesText(value))) continue
        this.#path.enter(element.path)
        this.#primitive(value, element, isRight)
      } else if (element.right !== undefined && this.#rules.errorsOnly && Object.isFrozen(value)) {
        this.#path.enter(element.path)
        this.#constant(value, element)
      } else {
        this.#path.enter(element.path)
        const beside =
          element.extendsPrimitive || primitive !== undefined ? object[element.companion] : undefined
        this.#value(value, element, beside)
      }
      if (this.#stopped) return
      this.#path.leave()
    }

    if (!hasChild && type.isElement) this.#issues.push(emptyElement(this.#place()))
    const missing = type.requiredBits & ~found
    if (missing !== 0) this.#issues.push(...missingElements(this.#place(), type, missing))
    for (const rule of type.rules) {
      if (rule.holds(object, this.#root, this.#contained)) continue
      for (const issue of brokenRule(this.#place(), rule, object)) this.#issues.push(issue)
    }
    this.#depth--
  }

  /** The variants of choices met so far in an object, with this one. A choice with a second variant is reported. */
  #variant(element: ElementOf, variants: ElementOf[] = []): ElementOf[] {
    const other = variants.find(({ choice }) => choice === element.choice)
    if (other === undefined) variants.push(element)
    else if (other.variant !== element.variant)
      this.#issues.push(twoVariants(`${this.#place()}.${element.path}`))
    return variants
  }

  #primitive(value: unknown, element: ElementOf, isRight: boolean): void {
    const { primitive, words } = element
    if (primitive === undefined) return
    if (value === null) this.#issues.push(strayNull(this.#place()))
    else if (typeof value !== primitive.json) this.#issues.push(wrongKind(this.#place(), element, true))
    else if (typeof value === 'string' && value.length > LIMITS.textLength && primitive.mayBeLong !== true)
      this.#stop('TOO_LARGE', `texts of at most ${LIMITS.textLength} characters`)
    else if (!isRight) this.#issues.push(wrongForm(this.#place(), expectedForm(primitive, value)))
    else if (typeof value !== 'string') return
    else if (words !== undefined && !words.has(value)) this.#issues.push(wrongWord(this.#place(), words))
    else if (primitive.isProse === true && isBlank(value) && !this.#rules.errorsOnly)
      this.#issues.push(straySpace(this.#place()))
  }

  /** What can never change and was found right in this element stays so, and only what is met in it counts again. */
  #constant(value: unknown, element: ElementOf): void {
    const known = element.right?.of(value)
    if (known !== undefined && this.#depth <= known.depth && this.#seen + known.seen <= LIMITS.elements) {
      this.#seen += known.seen
      meetAgain(known, this.met, this.#path)
      return
    }
    const before = this.#standing()
    this.#value(value, element, undefined)
    if (!this.#stopped) element.right?.keep(value, this.met, before, this.#standing())
  }

  #standing(): Standing {
    return standing(this.met, this.#issues.length, this.#seen, this.#depth, this.#path.length)
  }

  #value(value: unknown, element: ElementOf, beside: unknown): void {
    if (element.repeats) this.#list(value, element, beside)
    else if (value === null) this.#issues.push(strayNull(this.#place()))
    else if (isJsonObject(value)) this.#child(value, element, beside)
    else this.#issues.push(wrongKind(this.#place(), element, true))
  }

  /** @param beside the extensions of these primitives, or the primitives whose extensions these are. */
  #list(values: unknown, element: ElementOf, beside: unknown): void {
    if (!Array.isArray(values)) {
      this.#issues.push(values === null ? strayNull(this.#place()) : wrongKind(this.#place(), element, false))
      return
    }
    if (values.length === 0) this.#issues.push(emptyList(this.#place()))
    this.#seen += values.length
    if (this.#seen > LIMITS.elements) {
      this.#stop('TOO_MANY', `at most ${LIMITS.elements} elements in one resource`)
      return
    }
    const { primitive } = element
    for (let i = 0; i < values.length; i++) {
      const value: unknown = values[i]
      const other: unknown = Array.isArray(beside) ? beside[i] : undefined
      this.#path.enter(i)
      if (value === null) {
        // Null fills the place of a value beside its extensions, or of extensions beside a value; two nulls do neither.
        const fills = element.extendsPrimitive ? other !== undefined : isJsonObject(other)
        if (!fills) this.#issues.push(strayNull(this.#place()))
      } else if (primitive !== undefined) {
        this.#primitive(value, element, typeof value === primitive.json && primitive.holds(value as never))
      } else if (isJsonObject(value)) this.#child(value, element, other)
      else this.#issues.push(wrongKind(this.#place(), element, true))
      if (this.#stopped) return
      this.#path.leave()
    }
  }

  #child(value: JsonObject, element: ElementOf, beside: unknown): void {
    const { complex } = element
    if (complex === undefined) {
      if (element.path === 'contained') this.#containedResource(value)
      else this.met.inner.push({ value, at: this.#place() })
      return
    }
    if (complex.name === 'Extension') {
      const isModifier = element.path === 'modifierExtension'
      this.met.extensions.push({ value, isModifier, steps: this.#path.taken() })
      if (isRelativeUri(value.url) && !this.#path.isInExtension())
        this.#issues.push(relativeExtension(this.#place()))
    } else if (complex.name === 'Reference') {
      if (typeof value.reference === 'string')
        this.met.references.push({ text: value.reference, reference: value, targets: element.targets })
      const fault = referenceFault(value, element.targets, this.#contained)
      if (fault !== undefined) this.#issues.push(wrongReference(this.#place(), fault, element.targets))
    } else if (element.concepts !== undefined && !isRequiredConcept(value, element.concepts))
      this.#issues.push(wrongConcept(this.#place(), element.concepts))
    else if (element.isSimple && exists(value.comparator)) this.#issues.push(strayComparator(this.#place()))
    const isBare = exists(beside)
    if (!Object.isFrozen(value)) this.#object(value, complex, isBare)
    else if (!this.#rules.right.has(value, complex.name)) {
      const reported = this.#issues.length
      const met = this.met.toBeJudged
      this.#object(value, complex, isBare)
      const isRight = this.#issues.length === reported && !this.#stopped
      // What has something to be met in it is walked each time; and names of codes are only compared in English.
      if (isRight && this.met.toBeJudged === met && this.#root.language === undefined)
        this.#rules.right.remember(value, complex.name)
    }
  }

  #containedResource(resource: JsonObject): void {
    const { resourceType } = resource
    const type =
      typeof resourceType === 'string' && RESOURCE_TYPES.has(resourceType)
        ? this.#rules.types.get(resourceType)
        : undefined
    if (type === undefined) this.#issues.push(notAResource(this.#place()))
    else this.#object(resource, type)
  }

  #stop(code: ErrorCode, most: string): void {
    this.#stopped = true
    this.#issues.splice(0, this.#issues.length, beyondLimit(this.#at, code, most))
  }

  #place(): string {
    return this.#path.text(this.#at)
  }
}
