import type { Request } from 'express'
import { FHIR_ACCEPTED, requireAccepted } from '../answer/answer.ts'
import { refusedRequest } from '../request-refused.ts'
import { queryText } from './page-query.ts'
import { requireMediaType } from './read-body.ts'

/** Content types of FHIR JSON, as it is sent. */
const FHIR_TYPES = ['application/fhir+json', 'application/json'] as const

/** What `_format` may say for JSON; a plus sign in a query reads as a space. Source: FHIR R4 http, "_format". */
const JSON_FORMATS = new Set(['json', 'text/json', ...FHIR_TYPES, 'application/fhir json'])

/** The version of FHIR spoken here, as the media type’s parameter names it. Source: FHIR R4 http, "fhirVersion". */
const FHIR_VERSION = '4.0'

/**
 * FHIR JSON is the only form there is to answer in. `_format` is heard before the Accept header, which it overrides.
 *
 * @throws RequestRefused (406) when the client wants XML, another form or another version.
 */
export function requireFhirAccepted(request: Request): void {
  const format = queryText(request, '_format')
  if (format === undefined) {
    requireAccepted(request, ...FHIR_ACCEPTED)
    return
  }
  const [name = ''] = format.split(';')
  if (JSON_FORMATS.has(name.trim().toLowerCase())) return
  throw refusedRequest(406, 'NOT_ACCEPTABLE', 'query._format', 'json: there is no XML here', JSON_ONLY)
}

/**
 * FHIR JSON of R4 is the only form that is read.
 *
 * @throws RequestRefused (415) for XML, said in so many words; for another type, charset or version of FHIR.
 */
export function requireFhirJson(request: Request): void {
  const header = request.headers['content-type'] ?? ''
  if (/^[^;]*xml/i.test(header)) {
    const expected = `FHIR as JSON, ${FHIR_TYPES.join(' or ')}: XML is not read here`
    throw refusedRequest(415, 'WRONG_MEDIA_TYPE', 'header.Content-Type', expected, JSON_ONLY)
  }
  requireMediaType(request, FHIR_TYPES)
  const version = /;\s*fhirVersion\s*=\s*"?([^\s";]+)/i.exec(header)?.[1]
  if (version === undefined || version === FHIR_VERSION) return
  const expected = `fhirVersion ${FHIR_VERSION}`
  throw refusedRequest(415, 'WRONG_MEDIA_TYPE', 'header.Content-Type', expected, 'Send the resource as R4.')
}

const JSON_ONLY = 'Use the JSON form of the resource.'
