import { calculateJwkThumbprint, exportJWK, generateKeyPair, type JWK } from 'jose'
import type { SigningAlgorithm } from './key-schedule.ts'

/**
 * Bits of an RSA key. RFC 7518 section 3.3 asks for 2048 at least; 3072 is common practice for keys that are to last
 * (128 bits of strength by NIST SP 800-57, from memory).
 */
const RSA_BITS = 3_072

/**
 * A new private key as a JWK with `alg`, `use` and, as its `kid`, its thumbprint (RFC 7638 with SHA-256). ES384 is on the
 * curve P-384 (RFC 7518 section 3.4).
 */
export async function generateKey(algorithm: SigningAlgorithm): Promise<JWK & { readonly kid: string }> {
  const { privateKey } = await generateKeyPair(algorithm, { modulusLength: RSA_BITS, extractable: true })
  const jwk = await exportJWK(privateKey)
  return { ...jwk, kid: await calculateJwkThumbprint(jwk), alg: algorithm, use: 'sig' }
}
