import http, { type ClientRequest, type OutgoingHttpHeaders } from 'node:http'
import https from 'node:https'
import { urlToHttpOptions } from 'node:url'
import type { FhirDestination } from '../../core/registry/destination.ts'
import { secureContext } from '../tls/secure-context.ts'
import { closeOnUnaskedData } from './unasked-data.ts'

/** The kept connections to one destination's server. */
export interface Connections {
  readonly secure: boolean
  /**
   * Opens a request to a path under the base URL, or to that itself where the path is empty; to be ended by the caller.
   *
   * @throws TypeError when the path leads out of the base URL, or a header cannot be written: a fault of ours.
   */
  open(method: string, path: string, headers: OutgoingHttpHeaders): ClientRequest
}

/**
 * How long an idle connection is kept, in ms. Shorter than the 5 s after which Node's own server closes it, and than
 * what a server announces in Keep-Alive, so that a request is seldom sent on a connection that is just being closed,
 * which would leave its outcome unknown. Common practice.
 */
export const IDLE_CONNECTION_MS = 4_000

/** The server proves its name on every connection, whatever the environment says; there is no way to switch that off. */
export function connectionsTo({ baseUrl, tls }: FhirDestination, maxHeaderBytes: number): Connections {
  const base = new URL(baseUrl)
  const secure = base.protocol === 'https:'
  const kept = { keepAlive: true, timeout: IDLE_CONNECTION_MS, scheduling: 'lifo' } as const
  const agent = secure
    ? new https.Agent({ ...kept, secureContext: secureContext(tls), rejectUnauthorized: true })
    : new http.Agent(kept)
  closeOnUnaskedData(agent)
  // Called by its name in the module, where tests put a played server in its place.
  const request = (options: https.RequestOptions) => (secure ? https.request(options) : http.request(options))

  const { protocol, hostname, port } = urlToHttpOptions(base)

  function open(method: string, path: string, headers: OutgoingHttpHeaders): ClientRequest {
    const target = pathUnder(base, path)
    return request({
      protocol,
      hostname,
      port,
      path: target,
      method,
      headers,
      agent,
      maxHeaderSize: maxHeaderBytes,
    })
  }

  return { secure, open }
}

/** Path and query of the request line. */
function pathUnder(base: URL, path: string): string {
  if (path === '') return `${base.pathname}${base.search}`
  const folder = base.pathname.endsWith('/') ? base.pathname : `${base.pathname}/`
  const target = new URL(`${base.origin}${folder}${path}`)
  const isUnder = target.origin === base.origin && target.pathname.startsWith(folder) && target.hash === ''
  if (!isUnder || path.startsWith('/')) {
    throw new TypeError('a path that leads out of the base URL')
  }
  return `${target.pathname}${target.search}`
}
