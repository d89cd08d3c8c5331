const INTERACTIONS = [
  'read',
  'vread',
  'history-instance',
  'create',
  'update',
  'patch',
  'delete',
  'search-type',
] as const

/** What each type can be searched by beside what holds for all. A Provenance has no identifier in R4. */
const SEARCHED_BY: Readonly<Record<string, readonly SearchParameter[]>> = {
  Device: [['identifier', 'token']],
  DiagnosticReport: [
    ['identifier', 'token'],
    ['subject', 'reference'],
  ],
  Observation: [
    ['identifier', 'token'],
    ['code', 'token'],
    ['status', 'token'],
    ['subject', 'reference'],
    ['date', 'date'],
  ],
  Organization: [
    ['identifier', 'token'],
    ['name', 'string'],
  ],
  Patient: [
    ['identifier', 'token'],
    ['family', 'string'],
  ],
  Provenance: [['target', 'reference']],
}

type SearchParameter = readonly [name: string, type: 'token' | 'reference' | 'string' | 'date']

/**
 * What the demo's clinic server says of itself at `/metadata`: no more than it does. Whatever holds for all types is said
 * once. Source: FHIR R4, CapabilityStatement, invariants cpb-1 to cpb-15.
 */
export function capabilityStatement() {
  return {
    resourceType: 'CapabilityStatement',
    status: 'active',
    date: '2026-03-01',
    kind: 'instance',
    implementation: { description: 'An invented clinic’s record system, in memory, for demonstration' },
    fhirVersion: '4.0.1',
    format: ['json'],
    patchFormat: ['application/json-patch+json'],
    rest: [
      {
        mode: 'server',
        resource: Object.entries(SEARCHED_BY).map(([type, searchedBy]) => ({
          type,
          interaction: INTERACTIONS.map((code) => ({ code })),
          versioning: 'versioned',
          readHistory: true,
          updateCreate: true,
          conditionalCreate: true,
          conditionalRead: 'not-supported',
          conditionalUpdate: true,
          searchParam: parametersOf(searchedBy),
        })),
        interaction: [{ code: 'transaction' }, { code: 'batch' }],
        searchParam: parametersOf([
          ['_id', 'token'],
          ['_tag', 'token'],
        ]),
      },
    ],
  }
}

function parametersOf(searchedBy: readonly SearchParameter[]) {
  return searchedBy.map(([name, type]) => ({ name, type }))
}
