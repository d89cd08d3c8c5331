import type { FhirDestination, SmartBackendAccess } from '../../../core/registry/destination.ts'
import type { HttpOutcome } from '../http-exchange.ts'
import type { AskAuthorizationServer } from './authorization-server.ts'
import { coversScopes } from './granted-scopes.ts'
import { askLater, jsonObjectOf, type NotGiven, type RetryTiming, stopped, unreadable } from './not-given.ts'

/** A token and how long it holds, from when it was asked for. */
export interface GivenToken {
  readonly kind: 'given'
  readonly token: string
  readonly lifetimeMs: number
}

/** Nothing at the URL issues tokens: it may have moved since it was discovered. */
export interface Astray {
  readonly kind: 'astray'
  readonly error: string
}

/** Source: RFC 7523 section 2.2. */
const ASSERTION_TYPE = 'urn:ietf:params:oauth:client-assertion-type:jwt-bearer'

/** How long a token is believed when the server does not say. Common practice; SMART requires `expires_in`. */
const UNSAID_LIFETIME_SECONDS = 60

/** No token is kept longer, whatever the server says. */
const LONGEST_LIFETIME_SECONDS = 86_400

/** Error codes after which the same request may do. Source: RFC 6749 section 4.1.2.1. */
const PASSING_ERRORS: ReadonlySet<string> = new Set(['temporarily_unavailable', 'server_error'])

/** Error codes that may be written into a log as they are. Source: RFC 6749 section 5.2, RFC 7521 section 4.2. */
const KNOWN_ERRORS: ReadonlySet<string> = new Set([
  ...PASSING_ERRORS,
  'invalid_request',
  'invalid_client',
  'invalid_grant',
  'unauthorized_client',
  'unsupported_grant_type',
  'invalid_scope',
  'access_denied',
])

/**
 * Asks for a token once. Nothing of the assertion, the token, or the text of an error leaves this function but the token
 * itself.
 * Source: SMART App Launch 2.2, Backend Services, step 3; RFC 6749 sections 4.4 and 5; RFC 6750.
 */
export async function requestToken(
  destination: FhirDestination,
  { scopes }: SmartBackendAccess,
  url: URL,
  assertion: string,
  ask: AskAuthorizationServer,
  timing: RetryTiming,
): Promise<GivenToken | Astray | NotGiven> {
  const form = new URLSearchParams({
    grant_type: 'client_credentials',
    scope: scopes.join(' '),
    client_assertion_type: ASSERTION_TYPE,
    client_assertion: assertion,
  })
  const outcome = await ask(destination, { method: 'POST', url, form })
  return askLater(outcome, timing) ?? answerOf(outcome, scopes)
}

function answerOf(outcome: HttpOutcome, scopes: readonly string[]): GivenToken | Astray | NotGiven {
  const status = outcome.kind === 'heard' ? outcome.status : 0
  const body = jsonObjectOf(outcome)
  if (typeof body?.error === 'string') return refusal(body.error)
  if (status === 401 || status === 403) return stopped(`status-${status}`)
  if (status >= 400) return { kind: 'astray', error: `status-${status}` }
  if (status !== 200 || body === undefined) return unreadable('token-response-unreadable')
  return givenToken(body, scopes)
}

function refusal(error: string): NotGiven {
  const shown = KNOWN_ERRORS.has(error) ? error : 'error-not-known'
  return PASSING_ERRORS.has(error) ? { kind: 'unsent', problem: 'CLINIC_BUSY', error: shown } : stopped(shown)
}

/** Without `scope` what was asked for is granted (RFC 6749 section 5.1). */
function givenToken(
  body: Readonly<Record<string, unknown>>,
  scopes: readonly string[],
): GivenToken | NotGiven {
  const { access_token: token, token_type: type, scope } = body
  if (typeof token !== 'string' || !/^[\x21-\x7e]+$/.test(token)) return unreadable('token-unreadable')
  if (typeof type !== 'string' || type.toLowerCase() !== 'bearer') return stopped('token-type-not-bearer')
  if (scope !== undefined && scope !== null) {
    if (typeof scope !== 'string') return unreadable('scope-unreadable')
    if (!coversScopes(scope, scopes)) return stopped('scope-less-than-asked')
  }
  const seconds = Number(body.expires_in ?? UNSAID_LIFETIME_SECONDS)
  if (!(seconds >= 0)) return unreadable('lifetime-unreadable')
  return { kind: 'given', token, lifetimeMs: Math.min(seconds, LONGEST_LIFETIME_SECONDS) * 1_000 }
}
