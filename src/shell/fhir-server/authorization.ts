import type { UnsentAnswer } from '../../core/exchange/fhir-exchange.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import { isInTheClear } from '../config/reading/destination-contradictions.ts'
import type { AccessTokens } from './access-tokens.ts'

/** What stands in the header Authorization, or why nothing can be asked. */
export type Authorization =
  | UnsentAnswer
  | {
      readonly kind: 'authorized'
      readonly header?: string
      /** The token in it that was issued. Only such a one can be had anew. */
      readonly issued?: string
    }

/**
 * Who we are to a destination's server. Credentials that would cross a network in the clear are not sent: the
 * settings refuse them already.
 * Source: RFC 6750 sections 2.1 and 5.3 for tokens, RFC 7617 for user and password, in UTF-8.
 *
 * @param refused the issued token that the server would not have.
 */
export async function authorizationFor(
  destination: FhirDestination,
  tokens: AccessTokens | undefined,
  refused: string | undefined,
): Promise<Authorization> {
  const { access, baseUrl } = destination
  if (access.kind === 'none') return { kind: 'authorized' }
  if (isInTheClear(baseUrl)) return stopped('CLINIC_NOT_TRUSTED')
  switch (access.kind) {
    case 'bearer':
      return { kind: 'authorized', header: `Bearer ${access.token}` }
    case 'basic': {
      const pair = Buffer.from(`${access.user}:${access.password}`, 'utf8').toString('base64')
      return { kind: 'authorized', header: `Basic ${pair}` }
    }
    case 'smart-backend': {
      const token = await tokens?.tokenFor(destination, refused)
      if (token === undefined) return stopped('TOKEN_REFUSED')
      if (token.kind === 'token') {
        return { kind: 'authorized', header: `Bearer ${token.token}`, issued: token.token }
      }
      return token.kind === 'stop' ? stopped(token.problem) : { ...token, untried: true }
    }
  }
}

function stopped(problem: UnsentAnswer['problem']): UnsentAnswer {
  return { kind: 'unsent', problem, untried: true, stop: true }
}
