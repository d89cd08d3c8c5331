import { answer, operation } from './operation.ts'
import { BODY_REFUSALS, type Paths, SOURCE, SUBJECT } from './path-parts.ts'
import { ref, text } from './schema-words.ts'

/** Other formats than ours: what is loaded, and what records would become. */
export function mappingPaths(): Paths {
  const rehearsed = { description: 'What the mapping reads' }
  return {
    '/mappings': {
      get: operation('/mappings', {
        id: 'listMappings',
        tag: 'mappings',
        summary: 'The formats that can be sent beside our own, each with its media types',
        roles: ['submit', 'read', 'operate'],
        answers: { 200: answer('All mappings', ref('MappingList')) },
        refusals: [406],
      }),
    },
    '/mappings/{name}/rehearse': {
      post: operation('/mappings/{name}/rehearse', {
        id: 'rehearse',
        tag: 'mappings',
        summary: 'What records would become under a mapping, field by field; keeps and sends nothing',
        description:
          'Each field of the session with the rule it comes from and its place in the source; what no rule reads; what ' +
          'would be refused, remarked and noticed. People go by their enrolments, as when the records are sent in earnest.',
        roles: ['submit', 'operate'],
        query: [SOURCE, SUBJECT],
        body: {
          'application/json': rehearsed,
          'application/x-ndjson': text,
          'application/ndjson': text,
          'application/fhir+json': rehearsed,
          'application/fhir+ndjson': text,
          'text/csv': text,
          'text/plain': text,
          'application/hl7-v2': text,
        },
        answers: { 200: answer('One rehearsal a sitting', ref('Rehearsed')) },
        refusals: [...BODY_REFUSALS, 404],
      }),
    },
  }
}
