import type { ErrorCode } from '../../basics/error-codes.ts'
import { exists, isJsonObject, type JsonObject } from '../json-object.ts'
import type { Report, Resource } from '../layer.ts'
import { LIMITS } from '../limits.ts'
import { isRealDay } from './calendar.ts'
import {
  beyondLimit,
  brokenRule,
  emptyElement,
  missingElement,
  twoVariants,
  unrealDay,
} from './element-issue.ts'
import type { ComplexType, ElementOf } from './element-types.ts'
import { isRightConstant, rememberRight } from './right-constants.ts'

/**
 * The one walk through a resource: visits each element with its R4 type, and asks the rules of that type.
 *
 * It also sees to what a schema cannot say (nothing empty, one variant of a choice, days in the calendar, required
 * primitives) and to the limits, so it goes first: what comes after may recurse as it likes. It does not look into
 * elements the type does not have, nor at the types of values: the schema reports those. Contained resources are
 * walked with their container, because references run between them; resources in a bundle's entries are not.
 */
export class ElementWalk {
  readonly #types: ReadonlyMap<string, ComplexType>
  readonly #root: Resource
  readonly #at: string
  readonly #report: Report
  /** Where the walk is: names and list indices from the root. */
  readonly #path: (string | number)[] = []
  #depth = 0
  #seen = 0
  #reported = 0
  #stopped = false

  constructor(types: ReadonlyMap<string, ComplexType>, root: Resource, at: string, report: Report) {
    this.#types = types
    this.#root = root
    this.#at = at
    this.#report = (issue) => {
      this.#reported++
      report(issue)
    }
  }

  run(): void {
    const type = this.#types.get(this.#root.resourceType)
    if (type !== undefined) this.#object(this.#root, type)
  }

  /** @param isBare whether it may hold an id alone: beside a primitive that has its value. */
  #object(object: JsonObject, type: ComplexType, isBare = false): void {
    if (++this.#depth > LIMITS.depth) {
      this.#stop('TOO_DEEP', `at most ${LIMITS.depth} levels of elements`)
      return
    }
    let hasChild = false
    let firstChoice: string | undefined
    let secondChoice: string | undefined

    for (const property in object) {
      const value = object[property]
      if (value === undefined) continue
      if (++this.#seen > LIMITS.elements) {
        this.#stopAtTooMany()
        return
      }
      if (!hasChild && (property !== 'id' || isBare)) hasChild = exists(value)
      // Most values are texts that need no more than this, so their element is not even looked up.
      if (typeof value === 'string') {
        if (value.length > LIMITS.textLength) {
          this.#stopAtTooLong()
          return
        }
        if (!type.hasChoices && isRealDay(value)) continue
      } else if (typeof value !== 'object' && !type.hasChoices) continue

      const element = type.elements.get(property)
      if (element === undefined) continue
      if (element.choice === 1) {
        if (firstChoice !== undefined && firstChoice !== element.variant) this.#twoVariants(element)
        firstChoice = element.variant
      } else if (element.choice === 2) {
        if (secondChoice !== undefined && secondChoice !== element.variant) this.#twoVariants(element)
        secondChoice = element.variant
      }
      if (typeof value === 'string') {
        if (element.isDay && !isRealDay(value)) this.#report(unrealDay(`${this.#place()}.${element.path}`))
      } else if (typeof value === 'object') {
        this.#path.push(element.path)
        const beside = element.extendsPrimitive ? object[element.variant] : undefined
        if (element.repeats) this.#list(value, element, beside)
        else if (isJsonObject(value)) this.#child(value, element, beside)
        if (this.#stopped) return
        this.#path.pop()
      }
    }

    if (!hasChild && type.isElement) this.#report(emptyElement(this.#place()))
    for (const required of type.required) {
      if (!hasAny(object, required.properties))
        this.#report(missingElement(`${this.#place()}.${required.path}`))
    }
    for (const rule of type.rules) {
      if (rule.holds(object, this.#root)) continue
      for (const issue of brokenRule(this.#place(), rule, object, this.#root)) this.#report(issue)
    }
    this.#depth--
  }

  /** @param beside the primitives whose extensions these are. */
  #list(values: unknown, element: ElementOf, beside: unknown): void {
    if (!Array.isArray(values)) return
    this.#seen += values.length
    if (this.#seen > LIMITS.elements) {
      this.#stopAtTooMany()
      return
    }
    for (let i = 0; i < values.length; i++) {
      const value: unknown = values[i]
      this.#path.push(i)
      if (isJsonObject(value)) this.#child(value, element, Array.isArray(beside) ? beside[i] : undefined)
      else if (typeof value === 'string') {
        if (value.length > LIMITS.textLength) this.#stopAtTooLong()
        else if (element.isDay && !isRealDay(value)) this.#report(unrealDay(this.#place()))
      }
      if (this.#stopped) return
      this.#path.pop()
    }
  }

  #child(value: JsonObject, element: ElementOf, beside: unknown): void {
    const { complex } = element
    if (complex === undefined) {
      if (element.path === 'contained') this.#contained(value)
    } else if (Object.isFrozen(value)) this.#frozen(value, complex, exists(beside))
    else this.#object(value, complex, exists(beside))
  }

  #frozen(value: JsonObject, type: ComplexType, isBare: boolean): void {
    if (isRightConstant(value, type.name)) return
    const reported = this.#reported
    this.#object(value, type, isBare)
    if (this.#reported === reported && !this.#stopped) rememberRight(value, type.name)
  }

  #contained(resource: JsonObject): void {
    const type =
      typeof resource.resourceType === 'string' ? this.#types.get(resource.resourceType) : undefined
    if (type !== undefined && !type.isElement) this.#object(resource, type)
  }

  #twoVariants(element: ElementOf): void {
    this.#report(twoVariants(`${this.#place()}.${element.path}`))
  }

  #stopAtTooMany(): void {
    this.#stop('TOO_MANY', `at most ${LIMITS.elements} elements in one resource`)
  }

  #stopAtTooLong(): void {
    this.#stop('TOO_LARGE', `texts of at most ${LIMITS.textLength} characters`)
  }

  #stop(code: ErrorCode, most: string): void {
    this.#stopped = true
    this.#report(beyondLimit(this.#at, code, most))
  }

  #place(): string {
    let place = this.#at
    for (const step of this.#path) place += typeof step === 'number' ? `[${step}]` : `.${step}`
    return place
  }
}

function hasAny(object: JsonObject, properties: readonly string[]): boolean {
  for (const property of properties) if (object[property] !== undefined) return true
  return false
}
