import { readAnswerBody } from '../../src/core/exchange/answered/answer-body.ts'
import type { HeardAnswer } from '../../src/core/exchange/fhir-exchange.ts'

/** Base URL of the invented clinic's server. */
export const CLINIC_BASE = 'https://records.example/fhir'

/**
 * What was heard from the clinic's server.
 *
 * @param body a resource, or the very text.
 */
export function heard(
  status: number,
  body: object | string = '',
  more: Partial<Pick<HeardAnswer, 'location' | 'version' | 'retryAfterMs'>> = {},
): HeardAnswer {
  const text = typeof body === 'string' ? body : JSON.stringify(body)
  return {
    kind: 'heard',
    status,
    body: readAnswerBody(text, CLINIC_BASE),
    said: { status, text: 'as it was said' },
    ...more,
  }
}

/** An OperationOutcome with one error. */
export function outcome(code: string, more: object = {}): object {
  return { resourceType: 'OperationOutcome', issue: [{ severity: 'error', code, ...more }] }
}

/** A Bundle of responses, each a status or all that `response` holds. */
export function responses(...each: readonly (string | object)[]): object {
  return {
    resourceType: 'Bundle',
    type: 'transaction-response',
    entry: each.map((one) => ({ response: typeof one === 'string' ? { status: one } : one })),
  }
}

/** A searchset that is all there is. */
export function searchset(resources: readonly object[], more: object = {}): object {
  return {
    resourceType: 'Bundle',
    type: 'searchset',
    total: resources.length,
    entry: resources.map((resource) => ({ resource, search: { mode: 'match' } })),
    ...more,
  }
}
