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
          'receipt again; with other content it is refused. A stream is answered line by line in order, with the ' +
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
        summary: 'The record of a source as it was received',
        roles: ['submit', 'read', 'operate'],
        query: [SOURCE],
        answers: { 200: answer('The record and its receipt', ref('KeptSession')) },
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
