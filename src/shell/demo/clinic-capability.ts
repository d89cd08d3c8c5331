const RESOURCE_TYPES = ['Device', 'DiagnosticReport', 'Observation', 'Organization', 'Patient', 'Provenance']
const INTERACTIONS = ['read', 'vread', 'create', 'update', 'patch', 'delete', 'search-type']

/** What the demo's clinic server says of itself at `/metadata`. Source: FHIR R4, CapabilityStatement, invariants cpb-1 to cpb-15. */
export function capabilityStatement() {
  return {
    resourceType: 'CapabilityStatement',
    status: 'active',
    date: '2026-03-01',
    kind: 'instance',
    implementation: { description: 'An invented clinic’s record system, in memory, for demonstration' },
    fhirVersion: '4.0.1',
    format: ['json'],
    rest: [
      {
        mode: 'server',
        resource: RESOURCE_TYPES.map((type) => ({
          type,
          interaction: INTERACTIONS.map((code) => ({ code })),
          conditionalCreate: true,
          conditionalUpdate: true,
          updateCreate: true,
          versioning: 'versioned',
          searchParam: [{ name: 'identifier', type: 'token' }],
        })),
        interaction: [{ code: 'transaction' }, { code: 'batch' }],
      },
    ],
  }
}
