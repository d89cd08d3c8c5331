import { GatewayError } from '../../../core/basics/gateway-error.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { Clock, Log } from '../../../flow/ports/ports.ts'
import type { SigningKey } from '../../signing-keys/signing-key.ts'
import type { SigningKeys } from '../../signing-keys/signing-keys.ts'
import type { AccessTokens } from '../access-tokens.ts'
import { CLINIC_SERVER_DEFAULTS, type ExchangeLimits } from '../clinic-server-options.ts'
import { authorizationServers } from './authorization-server.ts'
import { clientAssertion } from './client-assertion.ts'
import { discoverTokenEndpoint, type TokenEndpoint } from './discover-token-endpoint.ts'
import { type NotGiven, stopped } from './not-given.ts'
import { type GivenToken, requestToken } from './request-token.ts'
import { tokenCache } from './token-cache.ts'

export interface SmartBackendOptions extends Partial<ExchangeLimits> {
  readonly clock: Clock
  readonly log: Log
  readonly signingKeys: SigningKeys
  /** Makes the `jti` of each assertion; never the same twice. */
  readonly newAssertionId: () => string
  /** The longest wait granted to a Retry-After. */
  readonly longestRetryAfterMs?: number
}

/** How long a discovered endpoint is believed, when nothing goes wrong there. Common practice. */
const ENDPOINT_BELIEVED_MS = 3_600_000

/**
 * Access by SMART Backend Services: where tokens are issued is discovered and remembered for an hour, each request for
 * one carries an assertion of its own, and the token is kept while it holds. Whatever goes wrong, the endpoint is
 * discovered anew the next time.
 *
 * No key of ours to sign with, or keys that must not be used, is told as `NO_SIGNING_KEY` and asked again later: the
 * folder of keys is followed while the service runs.
 */
export function smartBackendTokens(options: SmartBackendOptions): AccessTokens {
  const { clock, log, signingKeys, newAssertionId } = options
  const longestRetryAfterMs = options.longestRetryAfterMs ?? CLINIC_SERVER_DEFAULTS.longestRetryAfterMs
  const ask = authorizationServers(options)
  const endpoints = new Map<string, { readonly found: TokenEndpoint; readonly untilMs: number }>()
  const timing = () => ({ nowMs: clock.now(), longestRetryAfterMs })

  async function attempt(destination: FhirDestination): Promise<GivenToken | NotGiven> {
    const { access, name } = destination
    if (access.kind !== 'smart-backend') return stopped('access-of-another-kind')
    const key = await signerFor(access.algorithm)
    if ('error' in key) return key
    const remembered = endpoints.get(name)
    endpoints.delete(name)
    const believed = remembered !== undefined && clock.now() < remembered.untilMs
    const found = believed
      ? remembered.found
      : await discoverTokenEndpoint(destination, access, ask, timing())
    if (found.kind !== 'found') return found
    const untilMs = believed ? remembered.untilMs : clock.now() + ENDPOINT_BELIEVED_MS

    const subject = {
      clientId: access.clientId,
      tokenUrl: found.url,
      id: newAssertionId(),
      nowMs: clock.now(),
    }
    const assertion = await clientAssertion(subject, key)
    const answer = await requestToken(destination, access, new URL(found.url), assertion, ask, timing())
    if (answer.kind === 'given') endpoints.set(name, { found, untilMs })
    if (answer.kind !== 'astray') return answer
    return believed
      ? { kind: 'unsent', problem: 'CLINIC_ANSWER_UNREADABLE', error: answer.error }
      : stopped(answer.error)
  }

  async function signerFor(algorithm: SigningKey['algorithm']): Promise<SigningKey | NotGiven> {
    const unusable = (error: string): NotGiven => ({ kind: 'unsent', problem: 'NO_SIGNING_KEY', error })
    try {
      return (await signingKeys.signer(algorithm)) ?? unusable('no-signing-key')
    } catch (thrown) {
      if (thrown instanceof GatewayError) return unusable('signing-keys-unusable')
      throw thrown
    }
  }

  return tokenCache(clock, async (destination) => {
    const startMs = clock.now()
    const answer = await attempt(destination)
    const about = { destination: destination.name, ms: clock.now() - startMs }
    if (answer.kind === 'given') {
      log.info('token-given', about)
      return answer
    }
    const { error, ...told } = answer
    log.warn('token-not-given', { ...about, answer: told.kind, problem: told.problem, error })
    return told
  })
}
