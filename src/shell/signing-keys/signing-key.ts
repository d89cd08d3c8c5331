import type { KeyObject } from 'node:crypto'
import type { KeyTimes } from './key-schedule.ts'

/** A key of ours, ready to sign. The private half is held as a KeyObject, which prints as nothing. */
export interface SigningKey extends KeyTimes {
  /** RFC 7638 thumbprint of the public half, SHA-256, base64url. */
  readonly kid: string
  readonly privateKey: KeyObject
  readonly publicKey: PublicKey
}

/** A member of our JWKS. Source: RFC 7517 section 4; SMART App Launch 2.2 wants `kty`, `kid` and the bare key. */
export type PublicKey = {
  readonly kid: string
  readonly use: 'sig'
} & (
  | { readonly alg: 'RS384'; readonly kty: 'RSA'; readonly n: string; readonly e: string }
  | {
      readonly alg: 'ES384'
      readonly kty: 'EC'
      readonly crv: 'P-384'
      readonly x: string
      readonly y: string
    }
)
