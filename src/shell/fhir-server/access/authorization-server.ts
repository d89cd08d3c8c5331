import type { FhirDestination } from '../../../core/registry/destination.ts'
import { CLINIC_SERVER_DEFAULTS, type ExchangeLimits } from '../clinic-server-options.ts'
import { type Connections, connectionsTo } from '../connections.ts'
import { type HttpOutcome, httpExchange } from '../http-exchange.ts'
import { sentBody } from '../sent-body.ts'

/** One request to where a destination's tokens come from. */
export interface AuthorizationRequest {
  readonly method: 'GET' | 'POST'
  readonly url: URL
  /** Parameters of a form; none for a GET. */
  readonly form?: URLSearchParams
}

/** Sends it with the destination's TLS material, and follows no redirect. Never rejects. */
export type AskAuthorizationServer = (
  destination: FhirDestination,
  request: AuthorizationRequest,
) => Promise<HttpOutcome>

/** What is asked for is a page of JSON at most. Common practice, as the other limits. */
const MAX_ANSWER_BYTES = 256 * 1024

/**
 * @param limits those of the exchanges with clinics' servers; answers are held to a smaller size.
 */
export function authorizationServers(limits: Partial<ExchangeLimits> = {}): AskAuthorizationServer {
  const timeoutMs = limits.timeoutMs ?? CLINIC_SERVER_DEFAULTS.timeoutMs
  const filled: ExchangeLimits = {
    ...CLINIC_SERVER_DEFAULTS,
    answerTimeoutMs: timeoutMs,
    ...limits,
    maxAnswerBytes: MAX_ANSWER_BYTES,
  }
  return async (destination, { method, url, form }) => {
    const connections = connectionsOrNone({ ...destination, baseUrl: url.href }, filled.maxHeaderBytes)
    if (connections === undefined) {
      return { kind: 'unsent', problem: 'CLINIC_NOT_TRUSTED', cause: 'TLS_MATERIAL_UNUSABLE' }
    }
    const { secure, open } = connections
    const body = form === undefined ? undefined : sentBody(form.toString())
    const headers = {
      accept: 'application/json',
      ...(body === undefined
        ? {}
        : {
            'content-type': 'application/x-www-form-urlencoded',
            'content-length': body.bytes,
          }),
    }
    const opened = open(method, '', headers)
    return await httpExchange(opened, body, secure, filled)
  }
}

/** Undefined when the destination's TLS material is none. */
function connectionsOrNone(destination: FhirDestination, maxHeaderBytes: number): Connections | undefined {
  try {
    return connectionsTo(destination, maxHeaderBytes)
  } catch {
    return undefined
  }
}
