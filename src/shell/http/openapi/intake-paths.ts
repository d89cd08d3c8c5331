import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, type Paths, SOURCE } from './path-parts.ts'
import { ref } from './schemas.ts'

/** What a source and those who look after sources use. */
export function intakePaths(): Paths {
  return { ...sessionPaths(), ...registryPaths() }
}

function sessionPaths(): Paths {
  return {
    '/sessions': {
      post: operation('/sessions', {
        summary: 'Send one session record, an array of them, or a stream',
        description:
          'A record is held durably before it is acknowledged. The same id with the same content gives the same ' +
          'receipt again; with other content it is refused, unless sent as a correction. A stream is answered line by line in order, with the ' +
          'summary as the last line; with Prefer: return=minimal only refused lines and the summary are sent.',
        roles: ['submit'],
        query: [SOURCE],
        body: {
          'application/json': {
            schema: { oneOf: [ref('SessionRecord'), { type: 'array', items: ref('SessionRecord') }] },
          },
          'application/x-ndjson': { schema: { type: 'string', description: 'One SessionRecord a line' } },
        },
        answers: {
          200: answer('Held before, or the answer to a stream', { oneOf: [ref('Receipt'), ref('Results')] }),
          201: answer('Kept', { oneOf: [ref('Receipt'), ref('Results')] }),
          207: answer('Some of an array kept, some refused', ref('Results')),
        },
        refusals: [...BODY_REFUSALS, 404, 409, 503],
      }),
    },
    '/sessions/{id}': {
      get: operation('/sessions/{id}', {
        summary: 'The newest version of a source’s record, as it was received',
        roles: ['submit', 'read', 'operate'],
        query: [SOURCE],
        answers: { 200: answer('The record and its receipt', ref('KeptSession')) },
        refusals: [400, 404],
      }),
      put: operation('/sessions/{id}', {
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
        summary: 'Withdraw a session: its readings count for nothing any more',
        description:
          'The record is kept and marked; at the clinic its readings become entered-in-error. Again gives the same ' +
          'receipt. It cannot be taken back: send the sitting under a new id.',
        roles: ['submit'],
        query: [SOURCE],
        answers: { 200: answer('Withdrawn', ref('Receipt')) },
        refusals: [400, 404, 503],
      }),
    },
    '/sessions/{id}/versions': {
      get: operation('/sessions/{id}/versions', {
        summary: 'Every version of a source’s record, the first one first',
        roles: ['submit', 'read', 'operate'],
        query: [SOURCE],
        answers: {
          200: answer('The versions', {
            type: 'object',
            properties: { items: { type: 'array', items: ref('KeptSession') } },
          }),
        },
        refusals: [400, 404],
      }),
    },
  }
}

function registryPaths(): Paths {
  return {
    '/sources': {
      get: operation('/sources', {
        summary: 'List the registered sources',
        roles: ['read', 'operate'],
        answers: { 200: answer('The sources', ref('Page')) },
      }),
      post: operation('/sources', {
        summary: 'Register a source, or renew its title',
        roles: ['operate'],
        body: json('SourceRequest'),
        answers: {
          200: answer('Known already', { type: 'object' }),
          201: answer('Registered', { type: 'object' }),
        },
        refusals: BODY_REFUSALS,
      }),
    },
    '/sources/{name}/keys': {
      post: operation('/sources/{name}/keys', {
        summary: 'Issue a submit key for a source; it is shown this once',
        roles: ['operate'],
        answers: { 201: answer('The key', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/keys': {
      post: operation('/keys', {
        summary: 'Issue a key to read, operate or audit; it is shown this once',
        roles: ['operate'],
        body: json('KeyRequest'),
        answers: { 201: answer('The key', { type: 'object' }) },
        refusals: BODY_REFUSALS,
      }),
    },
    '/enrolments/{source}/{subject}': {
      get: operation('/enrolments/{source}/{subject}', {
        summary: 'How a subject is linked to the clinic',
        roles: ['read', 'operate'],
        answers: { 200: answer('The link', { type: 'object' }) },
        refusals: [404],
      }),
      put: operation('/enrolments/{source}/{subject}', {
        summary: 'Link a source’s subject to the clinic’s patient',
        description: 'Sessions that arrived before are queued for the clinic; queued tells how many.',
        roles: ['operate'],
        body: json('EnrolmentRequest'),
        answers: { 200: answer('The link', { type: 'object' }) },
        refusals: [...BODY_REFUSALS, 404],
      }),
    },
  }
}
