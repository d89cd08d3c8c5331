import { SignJWT } from 'jose'
import type { SigningKey } from '../../signing-keys/signing-key.ts'

/**
 * How far ahead an assertion ends. At most five minutes are allowed; the minute that is left is for a clock of ours that
 * is ahead of the server's, and the four for one that is behind. Source: SMART App Launch 2.2, asymmetric
 * authentication, for the five; common practice for the four.
 */
export const ASSERTION_SECONDS = 240

/** What an assertion is about. */
export interface AssertionSubject {
  readonly clientId: string
  /** The URL it is posted to, as the server writes it. */
  readonly tokenUrl: string
  /** Never used before: a server takes each once. */
  readonly id: string
  readonly nowMs: number
}

/**
 * A JWT that says who we are, for one token request. Without `nbf` and `iat`, which SMART does not ask for: a clock of
 * ours that is ahead would make them a reason to refuse it.
 * Source: SMART App Launch 2.2, asymmetric authentication; RFC 7523 section 3.
 */
export function clientAssertion(
  { clientId, tokenUrl, id, nowMs }: AssertionSubject,
  { algorithm, kid, privateKey }: SigningKey,
): Promise<string> {
  return new SignJWT({
    iss: clientId,
    sub: clientId,
    aud: tokenUrl,
    exp: Math.floor(nowMs / 1_000) + ASSERTION_SECONDS,
    jti: id,
  })
    .setProtectedHeader({ alg: algorithm, kid, typ: 'JWT' })
    .sign(privateKey)
}
