import type { FhirDestination } from '../../src/core/registry/destination.ts'

/** A clinic's FHIR server that wants nothing special. */
export function fhirDestination(baseUrl: string, changed: Partial<FhirDestination> = {}): FhirDestination {
  return {
    kind: 'fhir',
    name: 'clinic',
    baseUrl,
    access: { kind: 'none' },
    tls: {},
    patient: { by: 'conditional-reference', create: false },
    cannotUpdate: 'park',
    readings: 'at-once',
    positionAs: 'extension',
    snomed: false,
    decimals: 1,
    attention: 'at-once',
    findings: {},
    thresholdSets: [],
    adornment: { claims: [], tags: [], patientSupplied: false, identifiers: [] },
    ...changed,
  }
}
