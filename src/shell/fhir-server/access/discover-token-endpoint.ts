import { z } from 'zod'
import type { FhirDestination, SmartBackendAccess } from '../../../core/registry/destination.ts'
import { isInTheClear } from '../../config/reading/destination-contradictions.ts'
import type { AskAuthorizationServer } from './authorization-server.ts'
import { askLater, jsonObjectOf, type NotGiven, type RetryTiming, stopped, unreadable } from './not-given.ts'

/** Where tokens are issued: its URL as the server or the operator wrote it, which is also the audience of assertions. */
export type TokenEndpoint = { readonly kind: 'found'; readonly url: string }

/**
 * What of a server's configuration matters here. `issuer` and `jwks_uri` may be absent (SMART App Launch 2.2,
 * conformance), and older servers leave out lists: what is not listed at all is not held against a server.
 */
const configuration = z.looseObject({
  token_endpoint: z.string().min(1),
  grant_types_supported: z.array(z.string()).optional(),
  capabilities: z.array(z.string()).optional(),
  token_endpoint_auth_methods_supported: z.array(z.string()).optional(),
  token_endpoint_auth_signing_alg_values_supported: z.array(z.string()).optional(),
})

/**
 * Reads `.well-known/smart-configuration`, appended to the FHIR base also where that has a path, and finds where tokens
 * are issued. A relative URL is resolved against the FHIR base.
 *
 * Stops when the server says that it does not do what we need, and when the place is on a host that nobody named: a
 * server's own word is not enough to send our assertion elsewhere.
 * Source: SMART App Launch 2.2, conformance and Backend Services, step 2.
 */
export async function discoverTokenEndpoint(
  destination: FhirDestination,
  access: SmartBackendAccess,
  ask: AskAuthorizationServer,
  timing: RetryTiming,
): Promise<TokenEndpoint | NotGiven> {
  if (access.tokenUrl !== undefined) return usable(access.tokenUrl, destination, access)
  const url = new URL(`${destination.baseUrl}/.well-known/smart-configuration`)
  const outcome = await ask(destination, { method: 'GET', url })
  const later = askLater(outcome, timing)
  if (later !== undefined) return later
  const status = outcome.kind === 'heard' ? outcome.status : 0
  if (status >= 400) return stopped(`no-smart-configuration-${status}`)
  const read = configuration.safeParse(jsonObjectOf(outcome))
  if (status !== 200 || !read.success) return unreadable('smart-configuration-unreadable')
  const lacking = lackOf(read.data, access)
  if (lacking !== undefined) return stopped(lacking)
  const { token_endpoint: written } = read.data
  if (URL.canParse(written)) return usable(written, destination, access)
  const base = `${destination.baseUrl}/`
  if (!URL.canParse(written, base)) return unreadable('token-endpoint-unreadable')
  return usable(new URL(written, base).href, destination, access)
}

/** The first thing the server says it does not do; undefined when it denies nothing. */
function lackOf(said: z.output<typeof configuration>, { algorithm }: SmartBackendAccess): string | undefined {
  const denies = (list: readonly string[] | undefined, wanted: string) =>
    list !== undefined && !list.includes(wanted)
  if (denies(said.grant_types_supported, 'client_credentials')) return 'grant-type-not-supported'
  if (denies(said.capabilities, 'client-confidential-asymmetric')) return 'capability-not-supported'
  if (denies(said.token_endpoint_auth_methods_supported, 'private_key_jwt')) return 'method-not-supported'
  if (denies(said.token_endpoint_auth_signing_alg_values_supported, algorithm)) {
    return 'algorithm-not-supported'
  }
  return undefined
}

/** Over TLS or on this machine; and on the server's own host, on one that is listed, or where the settings say. */
function usable(
  written: string,
  destination: FhirDestination,
  access: SmartBackendAccess,
): TokenEndpoint | NotGiven {
  const url = new URL(written)
  const web = url.protocol === 'https:' || url.protocol === 'http:'
  const plain = url.username === '' && url.password === ''
  const hosts = [new URL(destination.baseUrl).host, ...access.tokenHosts.map(hostOf)]
  const named = access.tokenUrl === written || hosts.includes(url.host)
  if (!web || !plain || !named) return notAsked('token-host-not-listed')
  return isInTheClear(url.href) ? notAsked('token-endpoint-in-the-clear') : { kind: 'found', url: written }
}

function notAsked(error: string): NotGiven {
  return { kind: 'stop', problem: 'TOKEN_HOST_NOT_LISTED', error }
}

/** As it stands in an address, where the usual port is left out. */
function hostOf(listed: string): string {
  return new URL(`https://${listed}`).host
}
