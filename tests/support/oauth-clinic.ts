import { createServer, type RequestListener, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { exportJWK, generateKeyPair } from 'jose'
import Provider, { type Adapter, type AdapterPayload } from 'oidc-provider'

/** A clinic whose FHIR server wants a token of the authorization server beside it. */
export interface OauthClinic {
  readonly fhir: string
  /** Host of the authorization server, with its port. */
  readonly tokenHost: string
  readonly tokenUrl: string
  /** Header and claims of each assertion that was looked at, as far as its signature was right. */
  readonly assertions: readonly { readonly header: object; readonly claims: object }[]
  /** `Authorization` of each request to the FHIR server, and what was answered. */
  readonly asked: readonly { readonly authorization: string; readonly status: number }[]
  close(): Promise<void>
}

export interface RegisteredClient {
  readonly clientId: string
  readonly algorithm: 'RS384' | 'ES384'
  readonly jwksUrl: string
  /** All it may ask for. */
  readonly scopes: readonly string[]
}

/**
 * The authorization server is oidc-provider, an independent reading of OAuth 2.0 and RFC 7523, which fetches our key set
 * from its URL and keeps it as its Cache-Control says. Both are on loopback.
 */
export async function oauthClinic(clients: readonly RegisteredClient[]): Promise<OauthClinic> {
  const assertions: { header: object; claims: object }[] = []
  const asked: { authorization: string; status: number }[] = []
  const authorization = await listening()
  const { privateKey } = await generateKeyPair('RS256', { extractable: true })
  const provider = new Provider(authorization.url, {
    adapter: inMemory(),
    clients: clients.map(({ clientId, algorithm, jwksUrl, scopes }) => ({
      client_id: clientId,
      grant_types: ['client_credentials'],
      redirect_uris: [],
      response_types: [],
      token_endpoint_auth_method: 'private_key_jwt',
      token_endpoint_auth_signing_alg: algorithm,
      jwks_uri: jwksUrl,
      scope: scopes.join(' '),
    })),
    scopes: ['system/Observation.d', ...clients.flatMap(({ scopes }) => scopes)],
    clientAuthMethods: ['private_key_jwt'],
    enabledJWA: { clientAuthSigningAlgValues: ['RS384', 'ES384'] },
    features: { clientCredentials: { enabled: true }, devInteractions: { enabled: false } },
    ttl: { ClientCredentials: 300 },
    jwks: { keys: [{ ...(await exportJWK(privateKey)), alg: 'RS256', use: 'sig' }] },
    cookies: { keys: ['played'] },
    assertJwtClientAuthClaimsAndHeader: async (_context, claims, header) => {
      assertions.push({ header, claims })
    },
  })
  authorization.answerWith(provider.callback())

  const tokenUrl = `${authorization.url}/token`
  const resources = await listening()
  resources.answerWith(async (request, response) => {
    if (request.url === '/fhir/.well-known/smart-configuration') {
      response.writeHead(200, { 'content-type': 'application/json' })
      response.end(
        JSON.stringify({
          token_endpoint: tokenUrl,
          grant_types_supported: ['client_credentials'],
          token_endpoint_auth_methods_supported: ['private_key_jwt'],
          token_endpoint_auth_signing_alg_values_supported: ['RS384', 'ES384'],
          capabilities: ['client-confidential-asymmetric', 'permission-v2'],
        }),
      )
      return
    }
    const { authorization: sent = '' } = request.headers
    const token = await provider.ClientCredentials.find(sent.replace(/^Bearer /, ''))
    const status = token?.isValid === true && token.scope?.includes('system/Observation.c') ? 201 : 401
    asked.push({ authorization: sent, status })
    response.writeHead(status, { 'content-type': 'application/fhir+json' })
    response.end()
  })
  return {
    fhir: `${resources.url}/fhir`,
    tokenHost: new URL(authorization.url).host,
    tokenUrl,
    assertions,
    asked,
    close: async () => {
      await Promise.all([authorization.close(), resources.close()])
    },
  }
}

/** What the provider keeps, for as long as the test runs; its own warns that it is for development. */
function inMemory(): (model: string) => Adapter {
  const kept = new Map<string, AdapterPayload>()
  const nothing = () => Promise.resolve(undefined)
  return (model) => ({
    upsert: async (id, payload) => void kept.set(`${model} ${id}`, payload),
    find: async (id) => kept.get(`${model} ${id}`),
    destroy: async (id) => void kept.delete(`${model} ${id}`),
    consume: nothing,
    findByUserCode: nothing,
    findByUid: nothing,
    revokeByGrantId: nothing,
  })
}

/** A server whose address is known before what it answers. */
async function listening() {
  let listener: RequestListener = (_request, response) => response.end()
  const server: Server = createServer((request, response) => listener(request, response))
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve))
  const { port } = server.address() as AddressInfo
  return {
    url: `http://127.0.0.1:${port}`,
    answerWith(next: RequestListener) {
      listener = next
    },
    close: () =>
      new Promise<void>((resolve) => {
        server.close(() => resolve())
        server.closeAllConnections()
      }),
  }
}
