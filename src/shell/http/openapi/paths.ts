import { answer, json, operation } from './operation.ts'
import { ref } from './schemas.ts'

type Paths = Readonly<Record<string, Readonly<Record<string, unknown>>>>

const SOURCE = [
  'source',
  'Name of a registered source; left out with a submit key, which speaks for its own',
] as const
const PAGE = [
  ['limit', 'Rows a page, 1 to 200; 50 when absent'],
  ['cursor', 'next of the page before'],
] as const
const BODY_REFUSALS = [400, 413, 415, 422] as const

/** Every route of the gateway, one entry each. */
export function openApiPaths(): Paths {
  return {
    ...sessionPaths(),
    ...registryPaths(),
    ...periodPaths(),
    ...deliveryPaths(),
    ...fhirPaths(),
    ...servicePaths(),
  }
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

function periodPaths(): Paths {
  const roles = ['read', 'operate']
  const period = { type: 'object' }
  return {
    '/periods': {
      get: operation('/periods', {
        summary: 'List periods',
        roles,
        query: PAGE,
        answers: { 200: answer('A page of periods', ref('Page')) },
        refusals: [400],
      }),
      post: operation('/periods', {
        summary: 'Open a period; the same again is the same period',
        roles: ['operate'],
        body: json('PeriodRequest'),
        answers: { 200: answer('Open already', period), 201: answer('Opened', period) },
        refusals: BODY_REFUSALS,
      }),
    },
    '/periods/{id}': {
      get: operation('/periods/{id}', {
        summary: 'One period',
        roles,
        answers: { 200: answer('The period', period) },
        refusals: [404],
      }),
    },
    '/periods/{id}/close': {
      post: operation('/periods/{id}/close', {
        summary: 'Close a period now: average it and queue the average for the clinic',
        roles: ['operate'],
        answers: { 200: answer('The closed period', period) },
        refusals: [404, 422],
      }),
    },
    '/periods/{id}/bundle': {
      get: operation('/periods/{id}/bundle', {
        summary: 'The average as it goes to the clinic: a FHIR transaction Bundle',
        roles,
        answers: { 200: answer('The bundle', ref('FhirResource'), 'application/fhir+json') },
        refusals: [404, 409],
      }),
    },
    '/periods/{id}/average': {
      get: operation('/periods/{id}/average', {
        summary: 'The average for people: the numbers, their labels, what was left out and why',
        roles,
        answers: { 200: answer('The summary', { type: 'object' }) },
        refusals: [404, 409],
      }),
    },
  }
}

function deliveryPaths(): Paths {
  return {
    '/deliveries': {
      get: operation('/deliveries', {
        summary: 'List deliveries to clinics',
        roles: ['read', 'operate'],
        query: [['state', 'waiting, claimed, settled or given-up'], ...PAGE],
        answers: { 200: answer('A page of deliveries', ref('Page')) },
        refusals: [400],
      }),
    },
    '/deliveries/{id}/retry': {
      post: operation('/deliveries/{id}/retry', {
        summary: 'Try a given-up delivery again',
        roles: ['operate'],
        answers: { 200: answer('Queued again', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/audit': {
      get: operation('/audit', {
        summary: 'Who did what, when, as a chain of hashes',
        roles: ['audit'],
        query: PAGE,
        answers: { 200: answer('A page of audit rows', ref('Page')) },
        refusals: [400],
      }),
    },
  }
}

function fhirPaths(): Paths {
  const validate = (path: string) =>
    operation(path, {
      summary: 'Validate a FHIR R4 resource',
      description: 'Send the resource, or Parameters with it. 200 also when it is invalid: read the outcome.',
      roles: ['submit', 'read', 'operate', 'audit'],
      body: { 'application/fhir+json': { schema: ref('FhirResource') } },
      answers: { 200: answer('An OperationOutcome', ref('FhirResource'), 'application/fhir+json') },
      refusals: [...BODY_REFUSALS, 404],
    })
  return {
    '/fhir/metadata': {
      get: operation('/fhir/metadata', {
        summary: 'CapabilityStatement',
        answers: { 200: answer('The statement', ref('FhirResource'), 'application/fhir+json') },
      }),
    },
    '/fhir/$validate': { post: validate('/fhir/$validate') },
    '/fhir/{type}/$validate': { post: validate('/fhir/{type}/$validate') },
  }
}

function servicePaths(): Paths {
  const status = { type: 'object', properties: { status: { type: 'string' } } }
  return {
    '/health/live': {
      get: operation('/health/live', {
        summary: 'Whether the process runs',
        answers: { 200: answer('Live', status) },
      }),
    },
    '/health/ready': {
      get: operation('/health/ready', {
        summary: 'Whether the store answers',
        answers: { 200: answer('Ready', status), 503: answer('Not ready', status) },
      }),
    },
    '/metrics': {
      get: operation('/metrics', {
        summary: 'Counts for operators, in the Prometheus format or OpenMetrics 1.0',
        roles: ['read', 'operate'],
        answers: { 200: answer('The counts', { type: 'string' }, 'text/plain') },
      }),
    },
    '/openapi.json': {
      get: operation('/openapi.json', {
        summary: 'This description',
        answers: { 200: answer('OpenAPI 3.1', { type: 'object' }) },
      }),
    },
    '/problems/{code}': {
      get: operation('/problems/{code}', {
        summary: 'What a problem’s code means and what to do',
        answers: { 200: answer('The meaning', { type: 'object' }) },
        refusals: [404],
      }),
    },
  }
}
