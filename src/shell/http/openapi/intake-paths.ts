import { mappingPaths } from './mapping-paths.ts'
import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, type Paths, SOURCE, SUBJECT } from './path-parts.ts'
import { registryPaths } from './registry-paths.ts'
import { linesOf, list, ref, text } from './schema-words.ts'

/** What a source and those who look after sources use. */
export function intakePaths(): Paths {
  return { ...sessionPaths(), ...mappingPaths(), ...registryPaths() }
}

const READERS = ['submit', 'read', 'operate']

const STREAM = linesOf(ref('ResultLine'), 'A result a line, in order, and the summary as the last line')
const RECORD_LINES = linesOf(ref('SessionRecord'), 'One session record a line')
const ANY_JSON = { description: 'What the mapping reads' }

function sessionPaths(): Paths {
  return {
    '/sessions': {
      post: operation('/sessions', {
        id: 'sendSessions',
        tag: 'sessions',
        summary: 'Send one session record, an array of them, a stream, or records in another format',
        description:
          'A record is held durably before it is acknowledged. The same id with the same content gives the same receipt ' +
          'again; with other content it is refused, unless sent as a correction. A stream is answered line by line in ' +
          'order, with the summary as the last line; with Prefer: return=minimal only refused lines and the summary are ' +
          'sent.\n\nWith `mapping` the body is in the source’s own format: a document is answered as an array is, a CSV ' +
          'file and a stream as a stream is, each result with the lines or paths of the records it is about.',
        roles: ['submit'],
        query: [
          SOURCE,
          ['mapping', 'Name of a loaded mapping; absent for session records'],
          SUBJECT,
          [
            'changed',
            'What becomes of a sitting whose id is taken by other content',
            { enum: ['refused', 'corrects'], default: 'refused' },
          ],
        ],
        headers: [['Prefer', 'return=minimal leaves out of a stream’s answer what is not refused']],
        body: {
          'application/json': {
            description: 'Session records; with a mapping, a document of its format',
            anyOf: [ref('SessionRecord'), list(ref('SessionRecord')), ANY_JSON],
          },
          'application/x-ndjson': RECORD_LINES,
          'application/ndjson': RECORD_LINES,
          'application/fhir+json': ANY_JSON,
          'application/fhir+ndjson': text,
          'text/csv': text,
          'text/plain': text,
          'application/hl7-v2': text,
        },
        answers: {
          200: {
            description: 'Held before, corrected or left out knowingly; or the answer to a stream',
            content: { 'application/json': RECEIPT_OR_RESULTS, 'application/x-ndjson': STREAM },
          },
          201: answer('Kept', RECEIPT_OR_RESULTS),
          207: answer('Some of several kept, some refused', ref('Results')),
        },
        refusals: [...BODY_REFUSALS, 404, 409, 503],
      }),
    },
    '/sessions/{id}': {
      get: operation('/sessions/{id}', {
        id: 'readSession',
        tag: 'sessions',
        summary: 'The newest version of a source’s record, as it was received',
        roles: READERS,
        query: [SOURCE],
        answers: { 200: answer('The record and its receipt', ref('KeptSession')) },
        refusals: [400, 404, 406],
      }),
      put: operation('/sessions/{id}', {
        id: 'correctSession',
        tag: 'sessions',
        summary: 'Correct a session: the whole record as it should have been',
        description:
          'The id is the source’s own and must be the record’s. Every version is kept and the newest counts: a period ' +
          'that was closed opens again, and where the average changes, an amended one follows. The same content again ' +
          'changes nothing. A correction cannot change whose session it is, nor bring back one that was withdrawn.',
        roles: ['submit'],
        query: [SOURCE],
        body: json('SessionRecord'),
        answers: {
          200: answer('Corrected, or held before', ref('Receipt')),
          201: answer('Kept: nothing had been sent under this id', ref('Receipt')),
        },
        refusals: [...BODY_REFUSALS, 404, 409, 503],
      }),
      delete: operation('/sessions/{id}', {
        id: 'withdrawSession',
        tag: 'sessions',
        summary: 'Withdraw a session: its readings count for nothing any more',
        description:
          'The record is kept and marked; at the clinic its readings become entered-in-error. Again gives the same ' +
          'receipt. It cannot be taken back: send the sitting under a new id.',
        roles: ['submit'],
        query: [SOURCE],
        answers: { 200: answer('Withdrawn', ref('Receipt')) },
        refusals: [400, 404, 406, 503],
      }),
    },
    '/sessions/{id}/versions': {
      get: operation('/sessions/{id}/versions', {
        id: 'listVersions',
        tag: 'sessions',
        summary: 'Every version of a source’s record, the first one first',
        roles: READERS,
        query: [SOURCE],
        answers: { 200: answer('The versions', VERSIONS) },
        refusals: [400, 404, 406],
      }),
    },
  }
}

const RECEIPT_OR_RESULTS = { oneOf: [ref('Receipt'), ref('Results')] }

const VERSIONS = { type: 'object', required: ['items'], properties: { items: list(ref('KeptSession')) } }
