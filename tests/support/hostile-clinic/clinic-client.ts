import type { ClinicReply } from './clinic-reply.ts'
import { type ClinicResource, isResource } from './clinic-resource.ts'

/** A plain FHIR client for looking at the played clinic from outside. */
export interface ClinicClient {
  send(
    method: 'GET' | 'POST' | 'PUT' | 'DELETE',
    path: string,
    body?: object | string,
    headers?: Readonly<Record<string, string>>,
  ): Promise<Answered>
}

export type Answered = ClinicReply & {
  /** The body, where it is a resource. */
  readonly resource: ClinicResource | undefined
}

export function clinicClient(base: string): ClinicClient {
  return {
    async send(method, path, body, headers = {}) {
      const response = await fetch(path === '' ? base : `${base}/${path}`, {
        method,
        headers: {
          ...(body === undefined ? {} : { 'content-type': 'application/fhir+json' }),
          ...headers,
        },
        ...(body === undefined ? {} : { body: typeof body === 'string' ? body : JSON.stringify(body) }),
      })
      const text = await response.text()
      return {
        status: response.status,
        headers: Object.fromEntries(response.headers),
        body: text,
        resource: parsed(text),
      }
    },
  }
}

function parsed(text: string): ClinicResource | undefined {
  try {
    const value: unknown = JSON.parse(text)
    return isResource(value) ? value : undefined
  } catch {
    return undefined
  }
}
