import type { ClinicResource } from './clinic-resource.ts'

export const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-1' }

const KEYS = 'https://gateway.example/reading'

/** An Observation under an identifier of the sender’s. */
export function observation(key: string, more: object = {}): ClinicResource {
  return {
    resourceType: 'Observation',
    identifier: [{ system: KEYS, value: key }],
    status: 'final',
    code: { coding: [{ system: 'http://loinc.org', code: '85354-9' }] },
    ...more,
  }
}

export function provenance(key: string, target: string): ClinicResource {
  return {
    resourceType: 'Provenance',
    meta: { tag: [{ system: 'https://gateway.example/provenance', code: key }] },
    target: [{ reference: target }],
    recorded: '2026-03-02T08:00:00Z',
    agent: [{ who: { display: 'gateway' } }],
  }
}

/** The condition under which an Observation is found again. */
export function conditionOf(key: string): string {
  return `identifier=${KEYS}|${key}`
}

/** A conditional create as an entry. */
export function creating(
  resource: ClinicResource,
  key: string,
  condition: string = conditionOf(key),
): object {
  return {
    fullUrl: `urn:uuid:${key}`,
    resource,
    request: { method: 'POST', url: resource.resourceType, ifNoneExist: condition },
  }
}

export function transaction(...entry: readonly object[]): object {
  return { resourceType: 'Bundle', type: 'transaction', entry }
}

export const PATIENT_REFERENCE = { reference: `Patient?identifier=${PATIENT.system}|${PATIENT.value}` }
