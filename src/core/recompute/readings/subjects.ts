import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import type { BundleScope } from '../bundle-scope.ts'
import { type Found, textOf } from '../found.ts'
import { type Name, SharedNames } from './shared-names.ts'

/** Whether two resources are of one patient: by a name they share; not told where their names are of different forms. */
export type SamePatient = 'yes' | 'no' | 'not-told'

/**
 * Whose the resources of one bundle are. A patient goes by the entry that a reference leads to, by the URL it means, and
 * by each identifier that the reference or that entry gives; an id is of one server and an identifier of one system.
 * Source: FHIR R4 4.0.1 references.html, literal references and logical references; Identifier.system.
 */
export class Subjects {
  readonly #scope: BundleScope
  readonly #names = new SharedNames()
  readonly #known = new Map<JsonObject, string | undefined>()

  constructor(scope: BundleScope) {
    this.#scope = scope
    for (const { value, at } of scope.entries) {
      this.#enter({ value, at })
      for (const inner of objectsOf(value.contained)) this.#enter({ value: inner, at })
    }
  }

  /** The same text for all resources of one patient. Undefined for one that names nobody. */
  keyOf(resource: Found): string | undefined {
    const name = this.#known.has(resource.value) ? this.#known.get(resource.value) : this.#enter(resource)
    return name === undefined ? undefined : this.#names.top(name)
  }

  areOfOne(a: Found, b: Found): SamePatient {
    const [one, other] = [this.keyOf(a), this.keyOf(b)]
    if (one === other) return 'yes'
    if (one === undefined || other === undefined) return 'not-told'
    return this.#names.haveOneForm(one, other) ? 'no' : 'not-told'
  }

  #enter(resource: Found): string | undefined {
    const { subject } = resource.value
    const name = isJsonObject(subject) ? this.#names.enter(this.#namesOf(subject, resource)) : undefined
    this.#known.set(resource.value, name)
    return name
  }

  #namesOf(subject: JsonObject, resource: Found): readonly Name[] {
    const { reference, identifier } = subject
    const patient = this.#scope.resolve(subject, resource)
    const identifiers = [identifier, ...objectsOf(patient?.value.identifier)]
    return [
      ...(patient === undefined ? [] : [{ form: 'entry', text: patient.at }]),
      ...(typeof reference === 'string' ? this.#namesBy(reference, resource) : []),
      ...identifiers.flatMap(identified),
    ]
  }

  #namesBy(reference: string, resource: Found): readonly Name[] {
    if (reference.startsWith('#')) return []
    const searched = this.#scope.searchedBy(reference)
    if (searched !== undefined) return identified(searched)
    const url = this.#scope.urlOf(reference, resource)
    if (url !== undefined) return [{ form: /^https?:/.test(url) ? 'url' : 'urn or search', text: url }]
    return [{ form: 'relative reference', text: reference.split('/_history/', 1)[0] ?? reference }]
  }
}

function identified(identifier: unknown): readonly Name[] {
  if (!isJsonObject(identifier) || typeof identifier.value !== 'string') return []
  return [{ form: `identifier of ${textOf(identifier.system) ?? ''}`, text: identifier.value }]
}
