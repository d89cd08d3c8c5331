import { createLocalJWKSet, type JSONWebKeySet, jwtVerify } from 'jose'
import {
  type PlayedAnswer,
  type PlayedAuthorizationServer,
  playedAuthorizationServer,
  type TokenAsked,
} from './played-authorization-server.ts'

export interface SmartServerOptions {
  /** Client id and the keys it is registered with. */
  readonly clientId: string
  readonly keys: () => JSONWebKeySet
  /** The server's clock, epoch milliseconds. */
  readonly now: () => number
  /** Scopes it grants; what is asked for when absent. */
  readonly granted?: string
  /** Members of its configuration in place of its own. */
  readonly configuration?: (url: string) => Readonly<Record<string, unknown>>
  /** Tokens it issued and does not take all the same. */
  readonly revoked?: (token: string) => boolean
}

export interface SmartServer extends PlayedAuthorizationServer {
  /** Base of its FHIR server. */
  readonly fhir: string
  readonly tokenUrl: string
  /** Tokens in the order in which they were issued. */
  readonly issued: readonly string[]
}

/**
 * A FHIR server with an authorization server beside it that does what SMART App Launch 2.2 asks of one: signature by the
 * key named in `kid`, `typ`, `iss` = `sub`, `aud` = the token URL, `exp` at most five minutes ahead, each `jti` once.
 */
export async function smartServer(options: SmartServerOptions): Promise<SmartServer> {
  const issued: string[] = []
  const used = new Set<string>()

  async function token(form: URLSearchParams, url: string): Promise<PlayedAnswer> {
    const refused = { status: 400, body: { error: 'invalid_client' } }
    const nowMs = options.now()
    try {
      const { payload } = await jwtVerify(
        form.get('client_assertion') ?? '',
        createLocalJWKSet(options.keys()),
        {
          audience: `${url}/auth/token`,
          issuer: options.clientId,
          subject: options.clientId,
          typ: 'JWT',
          algorithms: ['RS384', 'ES384'],
          requiredClaims: ['exp', 'jti'],
          currentDate: new Date(nowMs),
        },
      )
      const { exp = Infinity, jti = '' } = payload
      if (exp > Math.floor(nowMs / 1_000) + 300 || used.has(jti)) return refused
      used.add(jti)
    } catch {
      return refused
    }
    if (form.get('grant_type') !== 'client_credentials') {
      return { status: 400, body: { error: 'unsupported_grant_type' } }
    }
    const access_token = `canary-token-${issued.length + 1}`
    issued.push(access_token)
    const scope = options.granted ?? form.get('scope')
    return { body: { access_token, token_type: 'bearer', expires_in: 300, scope } }
  }

  function resource({ headers }: TokenAsked): PlayedAnswer {
    const sent = /^Bearer (.+)$/.exec(headers.authorization ?? '')?.[1] ?? ''
    return issued.includes(sent) && options.revoked?.(sent) !== true
      ? { status: 201, headers: { 'content-type': 'application/fhir+json' } }
      : { status: 401, headers: { 'www-authenticate': 'Bearer' } }
  }

  const played = await playedAuthorizationServer((asked, url) => {
    if (asked.path === '/fhir/.well-known/smart-configuration') {
      return {
        body: {
          token_endpoint: `${url}/auth/token`,
          grant_types_supported: ['authorization_code', 'client_credentials'],
          token_endpoint_auth_methods_supported: ['private_key_jwt'],
          token_endpoint_auth_signing_alg_values_supported: ['RS384', 'ES384'],
          capabilities: ['client-confidential-asymmetric', 'permission-v2'],
          ...options.configuration?.(url),
        },
      }
    }
    return asked.path === '/auth/token' ? token(asked.form, url) : resource(asked)
  })
  return { ...played, fhir: `${played.url}/fhir`, tokenUrl: `${played.url}/auth/token`, issued }
}
