import { conformancePaths } from './conformance-paths.ts'
import { fhirPaths } from './fhir-paths.ts'
import { intakePaths } from './intake-paths.ts'
import { answer, operation } from './operation.ts'
import { outcomePaths } from './outcome-paths.ts'
import type { Paths } from './path-parts.ts'

/** Every route of the gateway, one entry each. */
export function openApiPaths(): Paths {
  return { ...intakePaths(), ...outcomePaths(), ...fhirPaths(), ...conformancePaths(), ...servicePaths() }
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
    '/.well-known/jwks.json': {
      get: operation('/.well-known/jwks.json', {
        summary: 'Our public keys, for authorization servers that check our signature',
        answers: {
          200: answer('A JWK Set, RFC 7517', {
            type: 'object',
            required: ['keys'],
            properties: { keys: { type: 'array', items: { type: 'object' } } },
          }),
        },
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
