import { GENERAL } from './conformance-paths.ts'
import { answer, operation, type QueryParameter } from './operation.ts'
import { BODY_REFUSALS, type Paths } from './path-parts.ts'
import { ref } from './schema-words.ts'

/** The FHIR endpoint: what it can do, and validation on the system, on a type and on an instance. */
export function fhirPaths(): Paths {
  const outcome = answer('An OperationOutcome', ref('FhirResource'), 'application/fhir+json')
  return {
    '/fhir/metadata': {
      get: operation('/fhir/metadata', {
        id: 'readCapabilities',
        tag: 'fhir',
        summary: 'CapabilityStatement',
        query: [
          ['mode', 'Which part of the statement is wanted; it is answered whole, as R4 allows'],
          ...GENERAL,
        ],
        answers: { 200: answer('The statement', ref('FhirResource'), 'application/fhir+json') },
        refusals: [406],
      }),
    },
    ...Object.fromEntries(
      LEVELS.map(({ path, id, summary, more = '' }) => [
        path,
        {
          post: operation(path, {
            id,
            tag: 'fhir',
            summary,
            description: `${DESCRIPTION}${more}`,
            roles: ['submit', 'read', 'operate', 'audit'],
            query: QUERY,
            body: { 'application/fhir+json': ref('FhirResource'), 'application/json': ref('FhirResource') },
            answers: { 200: outcome },
            refusals: [...BODY_REFUSALS, 404],
          }),
        },
      ]),
    ),
  }
}

const DESCRIPTION =
  'Send the resource as JSON, or Parameters with `resource`, `mode` and `profile`. 200 also when it is invalid: read ' +
  'the OperationOutcome. Another status means that it could not be judged: XML is 415, a profile that is not loaded or ' +
  'mode delete 422. Averages in the resource are worked out again from the readings beside them.'

interface Level {
  readonly path: string
  readonly id: string
  readonly summary: string
  readonly more?: string
}

const LEVELS: readonly Level[] = [
  {
    path: '/fhir/$validate',
    id: 'validateResource',
    summary: 'Validate a FHIR R4 resource of any type',
  },
  {
    path: '/fhir/{type}/$validate',
    id: 'validateType',
    summary: 'Validate a FHIR R4 resource of this type',
  },
  {
    path: '/fhir/{type}/{id}/$validate',
    id: 'validateInstance',
    summary: 'Validate a FHIR R4 resource for this instance',
    more: ' The resource must come along, since it is judged as it comes, and its id must be the one of the path.',
  },
]

const QUERY: readonly QueryParameter[] = [
  ['profile', 'Canonical URL of a loaded profile that the resource must meet, with or without |version'],
  ['mode', 'create, update (on an instance), or profile (with a profile)'],
  ['must-support', 'true tells the must-support elements that are absent, as information; not part of R4'],
  ...GENERAL,
]
