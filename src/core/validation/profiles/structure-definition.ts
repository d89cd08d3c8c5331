import type { Issue } from '../../basics/issue.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'

/** A StructureDefinition that constrains an R4 type, with what its reader needs of it. */
export interface Definition {
  /** Canonical URL without a version. */
  readonly url: string
  readonly version: string | undefined
  /** Last segment of the URL: the key its rules are reported under. */
  readonly name: string
  /** The type it constrains: `Observation`, `Extension`. */
  readonly type: string
  readonly base: string | undefined
  readonly differential: readonly ElementDefinition[]
  readonly snapshot: readonly ElementDefinition[]
  /** Of an extension: where it may stand. */
  readonly contexts: readonly Context[]
}

export interface Context {
  readonly type: string
  readonly expression: string
}

/** An element of a StructureDefinition, of which only the path has been read. */
export interface ElementDefinition {
  readonly path: string
  readonly json: JsonObject
}

/** Reads a StructureDefinition, or reports every reason why it cannot be read. */
export function readDefinition(
  document: JsonObject,
  at: string,
  report: (issue: Issue) => void,
): Definition | undefined {
  let sound = true
  const refuse = (key: string, expected: string): void => {
    sound = false
    report(documentProblem(`${at}.${key}`, expected))
  }
  const { url, type, fhirVersion, version, baseDefinition, derivation } = document
  if (typeof url !== 'string' || url === '') refuse('url', 'the canonical URL of the definition')
  if (typeof type !== 'string' || type === '') refuse('type', 'the type it constrains')
  if (fhirVersion !== undefined && !/^4\.0(?:\.|$)/.test(String(fhirVersion)))
    refuse('fhirVersion', 'a definition for FHIR R4, 4.0.1')
  if (derivation !== undefined && derivation !== 'constraint' && derivation !== 'specialization')
    refuse('derivation', 'constraint: this reads profiles and extensions')
  const differential = readElements(document.differential, type, `differential`, refuse)
  const snapshot = readElements(document.snapshot, type, `snapshot`, refuse)
  if (document.differential === undefined && document.snapshot === undefined)
    refuse('differential', 'a differential or a snapshot')
  if (!sound || typeof url !== 'string' || typeof type !== 'string') return undefined
  return {
    url: withoutVersion(url),
    version: typeof version === 'string' ? version : undefined,
    name: lastSegment(url),
    type,
    base: typeof baseDefinition === 'string' ? baseDefinition : undefined,
    differential,
    snapshot,
    contexts: contextsOf(document.context),
  }
}

function readElements(
  part: unknown,
  type: unknown,
  key: string,
  refuse: (key: string, expected: string) => void,
): readonly ElementDefinition[] {
  if (part === undefined) return []
  if (!isJsonObject(part) || !Array.isArray(part.element)) {
    refuse(`${key}.element`, 'a list of element definitions')
    return []
  }
  const elements: ElementDefinition[] = []
  for (const [i, json] of part.element.entries()) {
    const place = `${key}.element[${i}]`
    if (!isJsonObject(json) || typeof json.path !== 'string') {
      refuse(`${place}.path`, 'an element definition with a path')
      continue
    }
    if (json.path !== type && !json.path.startsWith(`${type}.`))
      refuse(`${place}.path`, 'a path that begins with the type of the definition')
    if (json.min !== undefined && !(Number.isSafeInteger(json.min) && Number(json.min) >= 0))
      refuse(`${place}.min`, 'a whole number from 0')
    if (json.max !== undefined && !/^(?:\d{1,9}|\*)$/.test(String(json.max)))
      refuse(`${place}.max`, 'a whole number or *')
    for (const list of LISTS) {
      const value = json[list]
      if (value !== undefined && !(Array.isArray(value) && value.every(isJsonObject)))
        refuse(`${place}.${list}`, 'a list of objects')
    }
    elements.push({ path: json.path, json })
  }
  return elements
}

const LISTS = ['type', 'constraint']

function contextsOf(context: unknown): readonly Context[] {
  if (!Array.isArray(context)) return []
  return context.filter(isJsonObject).map(({ type, expression }) => ({
    type: String(type),
    expression: String(expression),
  }))
}

export function documentProblem(at: string, expected: string): Issue {
  return {
    severity: 'error',
    type: 'structure',
    code: 'PROFILE',
    at,
    expected,
    remedy: 'Correct the document: it cannot be enforced as it is.',
  }
}

export function lastSegment(canonical: string): string {
  const url = withoutVersion(canonical)
  return url.slice(url.lastIndexOf('/') + 1)
}

export function withoutVersion(canonical: string): string {
  const bar = canonical.indexOf('|')
  return bar === -1 ? canonical : canonical.slice(0, bar)
}
