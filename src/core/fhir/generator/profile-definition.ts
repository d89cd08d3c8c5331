import type { ElementDefinition, ElementDefinitionConstraint, StructureDefinition } from 'fhir/r4.js'
import { narrativeText } from '../narrative-text.ts'
import { element } from './element.ts'

/** What tells one profile of ours from another. */
export interface ProfileParts {
  /** Canonical URL; it ends with the id. */
  readonly url: string
  readonly title: string
  readonly description: string
  readonly type: 'Observation' | 'Device' | 'Provenance'
  /** Canonical URL of the definition it narrows. */
  readonly base: string
  /** A rule of the resource as a whole. */
  readonly constraint?: ElementDefinitionConstraint
  readonly elements: readonly ElementDefinition[]
}

/** A profile of ours as R4 wants it written; the version is that of the documents, not of the package. */
export function profileDefinition(parts: ProfileParts): StructureDefinition {
  const { url, title, description, type, base, constraint, elements } = parts
  const id = url.slice(url.lastIndexOf('/') + 1)
  return {
    resourceType: 'StructureDefinition',
    id,
    text: narrativeText([title, description]),
    url,
    version: DOCUMENT_VERSION,
    name: nameOf(id),
    title,
    status: 'active',
    experimental: false,
    description,
    fhirVersion: '4.0.1',
    kind: 'resource',
    abstract: false,
    type,
    baseDefinition: base,
    derivation: 'constraint',
    differential: {
      element: [
        element(type, {
          short: title,
          definition: description,
          ...(constraint === undefined ? {} : { constraint: [constraint] }),
        }),
        ...elements,
      ],
    },
  }
}

/** Version of our conformance documents. */
export const DOCUMENT_VERSION = '0.1.0'

/** `period-average` as `PeriodAverage`: a name that can be one in code. Source: FHIR R4, invariant sdf-0. */
export function nameOf(id: string): string {
  return id
    .split('-')
    .map((word) => word.charAt(0).toUpperCase() + word.slice(1))
    .join('')
}
