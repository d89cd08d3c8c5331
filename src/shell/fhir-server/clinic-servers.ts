import type { FhirAnswer, FhirRequest } from '../../core/exchange/fhir-exchange.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import type { ClinicServers } from '../../flow/ports/ports.ts'
import { type Resting, restingDestinations } from '../resting/resting-destinations.ts'
import { authorizationFor } from './authorization.ts'
import { type ClinicServerOptions, withDefaults } from './clinic-server-options.ts'
import { type Connections, connectionsTo } from './connections.ts'
import { heardAnswer } from './heard-answer.ts'
import { type HttpOutcome, httpExchange } from './http-exchange.ts'
import { requestHeaders } from './request-headers.ts'
import { sentBody } from './sent-body.ts'

/**
 * The door to the clinics' FHIR servers: guards that whatever a server, a proxy or the network does ends in an answer
 * that says whether the request left and what was heard; that credentials go to the configured server only; and that no
 * body, address or token reaches a log.
 *
 * A redirect is handed on as it is, never followed: a token does not go where the settings did not send it. No request
 * is ever sent twice, but for the one after a 401 with a fresh token: 401 says that nothing was done.
 */
export function createClinicServers(options: ClinicServerOptions): ClinicServers {
  const settings = withDefaults(options)
  const { clock, log, newRequestId } = settings
  const connections = new WeakMap<FhirDestination, Connections>()
  const rests = restingDestinations(settings, isFailure, log)

  async function ask(destination: FhirDestination, request: FhirRequest): Promise<FhirAnswer> {
    const { answer, issued } = await askOnce(destination, request, undefined)
    const isRefused = issued !== undefined && answer.kind === 'heard' && answer.status === 401
    return isRefused ? (await askOnce(destination, request, issued)).answer : answer
  }

  async function askOnce(
    destination: FhirDestination,
    request: FhirRequest,
    refused: string | undefined,
  ): Promise<{ readonly answer: FhirAnswer; readonly issued?: string }> {
    const { name } = destination
    // A destination that rests is asked for no token either.
    const rest = rests.restOf(name)
    if (rest !== undefined) return { answer: unasked(rest) }
    const authorization = await authorizationFor(destination, settings.tokens, refused)
    if (authorization.kind === 'unsent') return { answer: authorization }
    const { header, issued } = authorization
    const told = await rests.unlessResting(name, () => exchange(destination, request, header))
    const answer = told.kind === 'resting' ? unasked(told) : told
    return issued === undefined ? { answer } : { answer, issued }
  }

  async function exchange(
    destination: FhirDestination,
    request: FhirRequest,
    authorization: string | undefined,
  ): Promise<FhirAnswer> {
    const requestId = newRequestId()
    const startMs = clock.now()
    const { secure, open } = connectionsOf(destination)
    const body = request.body === undefined ? undefined : sentBody(request.body)
    const headers = requestHeaders(request, body, requestId)
    if (authorization !== undefined) headers.authorization = authorization
    const opened = open(request.method, request.path, headers)
    const outcome = await httpExchange(opened, body, secure, settings)
    log.info('clinic-answered', {
      destination: destination.name,
      requestId,
      ms: clock.now() - startMs,
      ...logged(outcome),
    })
    if (outcome.kind !== 'heard') return { kind: outcome.kind, problem: outcome.problem }
    return heardAnswer(outcome, destination.baseUrl, clock.now(), settings.longestRetryAfterMs)
  }

  function connectionsOf(destination: FhirDestination): Connections {
    const open = connections.get(destination) ?? connectionsTo(destination, settings.maxHeaderBytes)
    connections.set(destination, open)
    return open
  }

  return { ask, resting: rests.names }
}

/** Failures of the server or of the way to it. 501 is none: it says plainly what is not offered. */
function isFailure(answer: FhirAnswer): boolean {
  return answer.kind !== 'heard' || (answer.status >= 500 && answer.status !== 501)
}

function unasked({ retryAfterMs }: Resting): FhirAnswer {
  return {
    kind: 'unsent',
    problem: 'CLINIC_RESTING',
    untried: true,
    ...(retryAfterMs === undefined ? {} : { retryAfterMs }),
  }
}

function logged(outcome: HttpOutcome) {
  return outcome.kind === 'heard'
    ? { kind: outcome.kind, status: outcome.status }
    : { kind: outcome.kind, status: 0, problem: outcome.problem, cause: outcome.cause }
}
