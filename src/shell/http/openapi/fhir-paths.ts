import { answer, operation } from './operation.ts'
import { BODY_REFUSALS, type Paths } from './path-parts.ts'
import { ref } from './schemas.ts'

/** The FHIR endpoint: what it can do, and validation on the system, on a type and on an instance. */
export function fhirPaths(): Paths {
  const outcome = answer('An OperationOutcome', ref('FhirResource'), 'application/fhir+json')
  return {
    '/fhir/metadata': {
      get: operation('/fhir/metadata', {
        summary: 'CapabilityStatement',
        query: [FORMAT],
        answers: { 200: answer('The statement', ref('FhirResource'), 'application/fhir+json') },
      }),
    },
    ...Object.fromEntries(
      LEVELS.map(([path, summary, more]) => [
        path,
        {
          post: operation(path, {
            summary,
            description: `${DESCRIPTION}${more}`,
            roles: ['submit', 'read', 'operate', 'audit'],
            query: QUERY,
            body: {
              'application/fhir+json': { schema: ref('FhirResource') },
              'application/json': { schema: ref('FhirResource') },
            },
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

const LEVELS = [
  ['/fhir/$validate', 'Validate a FHIR R4 resource of any type', ''],
  ['/fhir/{type}/$validate', 'Validate a FHIR R4 resource of this type', ''],
  [
    '/fhir/{type}/{id}/$validate',
    'Validate a FHIR R4 resource for this instance',
    ' The resource must come along, since it is judged as it comes, and its id must be the one of the path.',
  ],
] as const

const FORMAT = ['_format', 'json; overrides Accept'] as const

const QUERY = [
  ['profile', 'Canonical URL of a loaded profile that the resource must meet, with or without |version'],
  ['mode', 'create, update (on an instance), or profile (with a profile)'],
  ['must-support', 'true tells the must-support elements that are absent, as information; not part of R4'],
  FORMAT,
] as const
