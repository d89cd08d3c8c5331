import type { ClinicBehaviour } from './clinic-behaviour.ts'
import { type ClinicRefusal, operationOutcome } from './clinic-refusal.ts'
import type { Version } from './clinic-resource.ts'

/** An answer as it goes out. */
export interface ClinicReply {
  readonly status: number
  /** Lower-case names. */
  readonly headers: Readonly<Record<string, string>>
  readonly body: string
}

export const FHIR_JSON = 'application/fhir+json; charset=utf-8'

export function resourceReply(
  status: number,
  resource: object | undefined,
  headers: Readonly<Record<string, string>> = {},
): ClinicReply {
  if (resource === undefined) return { status, headers, body: '' }
  return { status, headers: { 'content-type': FHIR_JSON, ...headers }, body: JSON.stringify(resource) }
}

export function refusalReply(
  refusal: ClinicRefusal,
  { failure }: Pick<ClinicBehaviour, 'failure'>,
): ClinicReply {
  return failureReply(refusal.status, JSON.stringify(operationOutcome(refusal)), failure)
}

/** A failure in one of the forms in which servers, and what stands before them, tell one. */
export function failureReply(status: number, outcome: string, form: ClinicBehaviour['failure']): ClinicReply {
  switch (form) {
    case 'outcome':
      return { status, headers: { 'content-type': FHIR_JSON }, body: outcome }
    case 'problem-json':
      return { status, headers: { 'content-type': 'application/problem+json' }, body: outcome }
    case 'text':
      return { status, headers: { 'content-type': 'text/plain' }, body: `The request failed (${status})` }
    case 'page':
      return { status, headers: { 'content-type': 'text/html' }, body: page(`Error ${status}`) }
  }
}

export function page(title: string): string {
  return `<!DOCTYPE html><html><head><title>${title}</title></head><body><h1>${title}</h1></body></html>`
}

/** Headers that tell where a written resource is. Source: FHIR R4 4.0.1 http.html#create, #versioning. */
export function placeHeaders(
  version: Version,
  behaviour: ClinicBehaviour,
  base: string,
): Readonly<Record<string, string>> {
  const location = locationOf(version, behaviour, base)
  const name = behaviour.location === 'content-location' ? 'content-location' : 'location'
  return {
    ...(location === undefined ? {} : { [name]: location }),
    ...(behaviour.etag ? { etag: `W/"${version.version}"` } : {}),
    'last-modified': new Date(version.atMs).toUTCString(),
  }
}

export function locationOf(
  { type, id, version }: Version,
  { location }: ClinicBehaviour,
  base: string,
): string | undefined {
  const place = `${type}/${id}/_history/${version}`
  switch (location) {
    case 'versioned':
    case 'content-location':
      return `${base}/${place}`
    case 'unversioned':
      return `${base}/${type}/${id}`
    case 'relative':
      return place
    case 'http':
      return `http://inside.invalid:8080/fhir/${place}`
    case 'foreign':
      return `https://elsewhere.invalid/fhir/${place}`
    case 'missing':
      return undefined
  }
}
