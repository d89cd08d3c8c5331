import { CONFORMANCE_TYPES } from '../routes/capability-statement.ts'
import { answer, operation, type QueryParameter } from './operation.ts'
import type { Paths } from './path-parts.ts'
import { ref } from './schema-words.ts'

/** Our own profiles, extensions, value sets and code systems: each type under its own path. */
export function conformancePaths(): Paths {
  const fhir = (words: string) => answer(words, ref('FhirResource'), 'application/fhir+json')
  return Object.fromEntries(
    CONFORMANCE_TYPES.flatMap((type) => [
      [
        `/fhir/${type}`,
        {
          get: operation(`/fhir/${type}`, {
            id: `list${type}s`,
            tag: 'fhir',
            summary: `Our own resources of type ${type}`,
            query: [['url', 'The canonical URL of one of them'], ...GENERAL],
            answers: { 200: fhir('A Bundle of type searchset') },
            refusals: [400, 406],
          }),
        },
      ],
      [
        `/fhir/${type}/{id}`,
        {
          get: operation(`/fhir/${type}/{id}`, {
            id: `read${type}`,
            tag: 'fhir',
            summary: `One ${type} of ours`,
            query: GENERAL,
            answers: { 200: fhir('The resource') },
            refusals: [404, 406],
          }),
        },
      ],
    ]),
  )
}

const FORM = 'A wish about the form, which R4 lets a server pass over, as this one does'

/** What any FHIR request may ask about the form of its answer. Source: FHIR R4 http, "General parameters". */
export const GENERAL: readonly QueryParameter[] = [
  ['_format', 'json; overrides Accept'],
  ['_pretty', FORM],
  ['_summary', FORM],
  ['_elements', FORM],
]
