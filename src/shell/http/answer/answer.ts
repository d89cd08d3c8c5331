import type { Request, Response } from 'express'
import type { Issue } from '../../../core/basics/issue.ts'
import type { NonEmpty, Result } from '../../../core/basics/result.ts'
import { RequestRefused, refusedRequest } from '../request-refused.ts'
import { statusOfIssue } from './status-of-issue.ts'

export const JSON_TYPE = 'application/json; charset=utf-8'
export const FHIR_JSON_TYPE = 'application/fhir+json; charset=utf-8'
export const PROBLEM_TYPE = 'application/problem+json; charset=utf-8'
export const NDJSON_TYPE = 'application/x-ndjson; charset=utf-8'

/** What a client may accept to get FHIR JSON, with R4's version named or not. Source: FHIR R4 http, content types. */
export const FHIR_ACCEPTED = [
  'application/fhir+json',
  'application/fhir+json;fhirVersion=4.0',
  'application/json',
] as const

/** Writes a whole answer. Ends the response without Express’s own JSON step, which costs more than the answer itself. */
export function answerText(response: Response, status: number, contentType: string, text: string): void {
  response.statusCode = status
  response.setHeader('Content-Type', contentType)
  response.end(text)
}

export function answerJson(response: Response, status: number, value: unknown): void {
  answerText(response, status, JSON_TYPE, JSON.stringify(value))
}

/** The value, or the refusal of the flow as an answer. */
export function valueOrRefusal<T>(result: Result<T>): T {
  if (result.ok) return result.value
  throw refusalOf(result.issues)
}

export function refusalOf(issues: NonEmpty<Issue>): RequestRefused {
  return new RequestRefused(statusOfIssue(issues[0]), issues)
}

/** @throws RequestRefused (406) when the client takes none of the types that can be sent. */
export function requireAccepted(request: Request, ...types: readonly string[]): void {
  const accept = request.headers.accept
  if (accept === undefined || accept === '*/*' || types.includes(accept)) return
  if (request.accepts([...types]) !== false) return
  throw refusedRequest(
    406,
    'NOT_ACCEPTABLE',
    'header.Accept',
    `one of: ${types.join(', ')}`,
    'Accept one of the types listed.',
  )
}
