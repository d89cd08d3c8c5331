import { hash } from 'node:crypto'
import type { Request } from 'express'
import { actorText } from '../../../core/audit/actor.ts'
import { type AccessKey, keyId, type Role } from '../../../core/registry/source.ts'
import type { Ports } from '../../../flow/ports/ports.ts'
import type { Settings } from '../../config/settings/settings.ts'
import { refusedRequest } from '../request-refused.ts'
import { type AccessRefusal, toldRefusals } from './told-refusals.ts'

/**
 * The boundary of who may do what. Every route but health, metadata, our own definitions and the API description asks
 * `allow` first.
 *
 * With access off the service listens on loopback only, and whoever reaches it is the operator. With keys, the caller
 * is whom the bearer token says: a `submit` key speaks for one source and sees only that source's own sessions.
 */
export interface Access {
  /**
   * @throws RequestRefused: 401 without a valid key, 403 when the key's role is none of `roles`.
   */
  allow(request: Request, ...roles: readonly Role[]): Promise<Caller>
}

export interface Caller {
  /** For audit rows: `source:harbour-app`, `operator`, `reader`, `auditor`, each with the id of its key. */
  readonly actor: string
  /** Id of the key; absent with access off. */
  readonly key?: string
  /** The one source the caller speaks for; absent when it speaks for none. */
  readonly source?: string
}

export function createAccess(
  ports: Pick<Ports, 'store' | 'log' | 'clock'>,
  settings: Pick<Settings, 'access'>,
): Access {
  return settings.access === 'off' ? openToThisMachine : byKey(ports)
}

const OPERATOR: Caller = { actor: 'operator' }
const openToThisMachine: Access = { allow: () => Promise.resolve(OPERATOR) }

/**
 * Keys are 256 random bits, so their plain SHA-256 is what is kept and looked up. The look-up compares digests, not
 * keys: how long it takes can at most reveal the beginning of a digest that the caller computed itself, so it need not
 * take constant time. Each request asks the store, which answers from memory as long as nothing has changed.
 */
function byKey({ store, log, clock }: Pick<Ports, 'store' | 'log' | 'clock'>): Access {
  const tell = toldRefusals(log, clock.now)
  const refused = (code: AccessRefusal, refusal: Error): Error => {
    tell(code)
    return refusal
  }
  return {
    async allow(request, ...roles) {
      const sent = bearerKey(request)
      const key = sent === undefined ? undefined : await store.accessKey(hash('sha256', sent, 'hex'))
      if (key === undefined) throw refused('KEY_REQUIRED', keyRequired(sent !== undefined))
      if (!roles.includes(key.role)) throw refused('NOT_ALLOWED', notAllowed(roles))
      return callerOf(key)
    },
  }
}

/** RFC 6750 section 2.1; the scheme is case-insensitive (RFC 9110 section 11.1). */
const BEARER = /^bearer +(hbp_[A-Za-z0-9_-]{43})$/i

function bearerKey(request: Request): string | undefined {
  return BEARER.exec(request.headers.authorization ?? '')?.[1]
}

function callerOf(key: AccessKey): Caller {
  const id = keyId(key)
  const { role, source } = key
  switch (role) {
    case 'submit':
      return {
        actor: actorText(`source:${source ?? ''}`, id),
        key: id,
        ...(source === undefined ? {} : { source }),
      }
    case 'read':
      return { actor: actorText('reader', id), key: id }
    case 'operate':
      return { actor: actorText('operator', id), key: id }
    case 'audit':
      return { actor: actorText('auditor', id), key: id }
  }
}

function keyRequired(sent: boolean): Error {
  const challenge = `Bearer realm="home-bp-gateway"${sent ? ', error="invalid_token"' : ''}`
  return refusedRequest(
    401,
    'KEY_REQUIRED',
    'header.Authorization',
    'a valid API key as “Bearer hbp_…”',
    'Send the key that was shown when it was issued.',
    { 'WWW-Authenticate': challenge },
  )
}

function notAllowed(roles: readonly Role[]): Error {
  return refusedRequest(
    403,
    'NOT_ALLOWED',
    'header.Authorization',
    `a key of the role ${roles.join(' or ')}`,
    'Use a key of that role.',
  )
}
