import type { FhirDestination } from '../../../core/registry/destination.ts'
import type { Clock } from '../../../flow/ports/ports.ts'
import type { AccessToken, AccessTokens } from '../access-tokens.ts'
import type { GivenToken } from './request-token.ts'

/** A token is renewed this long before it ends, so that it still holds when a request has arrived. Common practice. */
export const RENEWED_BEFORE_END_MS = 30_000

/**
 * Keeps each destination's token until shortly before it ends; one that ends sooner than twice that time, for half of its
 * life. However many wait for a token, one request for it is under way.
 *
 * Many may be told one after the other that the same token is refused. The first has it replaced, and the others get
 * that one: a server that holds each client to its newest token would refuse the first what replaced it.
 */
export function tokenCache(
  clock: Clock,
  ask: (destination: FhirDestination) => Promise<GivenToken | Exclude<AccessToken, { kind: 'token' }>>,
): AccessTokens {
  const kept = new Map<string, { readonly token: string; readonly untilMs: number }>()
  const underWay = new Map<string, Promise<AccessToken>>()

  async function askAndKeep(destination: FhirDestination): Promise<AccessToken> {
    const askedMs = clock.now()
    const answer = await ask(destination)
    if (answer.kind !== 'given') return answer
    const { token, lifetimeMs } = answer
    const usableMs = Math.max(lifetimeMs - RENEWED_BEFORE_END_MS, lifetimeMs / 2)
    kept.set(destination.name, { token, untilMs: askedMs + usableMs })
    return { kind: 'token', token }
  }

  return {
    tokenFor(destination, refused) {
      const { name } = destination
      if (kept.get(name)?.token === refused) kept.delete(name)
      const held = kept.get(name)
      if (held !== undefined && clock.now() < held.untilMs) {
        return Promise.resolve({ kind: 'token', token: held.token })
      }
      const asked = underWay.get(name) ?? askAndKeep(destination).finally(() => underWay.delete(name))
      underWay.set(name, asked)
      return asked
    },
  }
}
