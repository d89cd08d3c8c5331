import type { OutgoingHttpHeaders } from 'node:http'
import { entityTag } from '../../core/exchange/answered/entity-tag.ts'
import type { FhirRequest } from '../../core/exchange/fhir-exchange.ts'
import type { SentBody } from './sent-body.ts'

const FHIR_JSON = 'application/fhir+json'

/**
 * The headers of a request, all but those that say who asks.
 * Source: FHIR R4 http.html for the media type, Prefer, If-None-Exist and If-Match; RFC 9111 5.2.1.4 for Cache-Control; RFC
 * 9110 for the others. Answers are
 * wanted as they are, which costs neither side anything for their size; one in gzip is understood too.
 */
export function requestHeaders(
  request: Omit<FhirRequest, 'body'>,
  body: SentBody | undefined,
  requestId: string,
): OutgoingHttpHeaders {
  const headers: OutgoingHttpHeaders = {
    accept: FHIR_JSON,
    'accept-encoding': 'identity, gzip;q=0.5',
    'x-request-id': requestId,
  }
  // What is read or searched decides what is written: servers and what stands before them may keep answers to both.
  const isLook = request.method === 'GET' || request.bodyType !== undefined
  if (isLook) headers['cache-control'] = 'no-cache'
  if (body !== undefined) {
    headers['content-type'] = request.bodyType ?? FHIR_JSON
    headers['content-length'] = body.bytes
  }
  if (request.prefer !== undefined) headers.prefer = `return=${request.prefer}`
  if (request.ifNoneExist !== undefined) headers['if-none-exist'] = request.ifNoneExist
  if (request.ifMatch !== undefined) headers['if-match'] = entityTag(request.ifMatch)
  return headers
}
