import { answer, operation } from './operation.ts'
import type { Paths } from './path-parts.ts'
import { ref, text } from './schema-words.ts'

/** Health, figures, and the descriptions a client reads before it has a key. */
export function servicePaths(): Paths {
  return { ...healthPaths(), ...descriptionPaths() }
}

function healthPaths(): Paths {
  return {
    '/health/live': {
      get: operation('/health/live', {
        id: 'readLiveness',
        tag: 'service',
        summary: 'Whether the process runs',
        answers: { 200: answer('Live', ref('Health')) },
      }),
    },
    '/health/ready': {
      get: operation('/health/ready', {
        id: 'readReadiness',
        tag: 'service',
        summary: 'Whether the store answers',
        answers: { 200: answer('Ready', ref('Health')), 503: answer('Not ready', ref('Health')) },
      }),
    },
    '/metrics': {
      get: operation('/metrics', {
        id: 'readMetrics',
        tag: 'service',
        summary: 'Counts for operators, in the Prometheus format or OpenMetrics 1.0',
        roles: ['read', 'operate'],
        answers: {
          200: {
            description: 'The counts',
            content: { 'text/plain': text, 'application/openmetrics-text': text },
          },
        },
        refusals: [406],
      }),
    },
  }
}

function descriptionPaths(): Paths {
  return {
    '/openapi.json': {
      get: operation('/openapi.json', {
        id: 'readDescription',
        tag: 'service',
        summary: 'This description',
        answers: { 200: answer('OpenAPI 3.1', { type: 'object', required: ['openapi'] }) },
        refusals: [406],
      }),
    },
    '/documentation': {
      get: operation('/documentation', {
        id: 'readDocumentation',
        tag: 'service',
        summary: 'This description as a page to read in a browser',
        answers: { 200: answer('The page', text, 'text/html') },
        refusals: [406],
      }),
    },
    '/documentation/{file}': {
      get: operation('/documentation/{file}', {
        id: 'readDocumentationFile',
        tag: 'service',
        summary: 'What that page loads; nothing of it comes from elsewhere',
        query: [['v', 'The version of the gateway, by which browsers keep the file']],
        answers: {
          200: {
            description: 'The file',
            content: { 'text/javascript': text, 'text/css': text },
          },
        },
        refusals: [404],
      }),
    },
    '/.well-known/jwks.json': {
      get: operation('/.well-known/jwks.json', {
        id: 'readKeySet',
        tag: 'service',
        summary: 'Our public keys, for authorization servers that check our signature',
        answers: { 200: answer('A JWK Set, RFC 7517', ref('KeySet')) },
        refusals: [406],
      }),
    },
    '/problems/{code}': {
      get: operation('/problems/{code}', {
        id: 'readProblem',
        tag: 'service',
        summary: 'What a problem’s code means and what to do',
        answers: { 200: answer('The meaning', ref('Meaning')) },
        refusals: [404, 406],
      }),
    },
  }
}
