import { createPrivateKey } from 'node:crypto'
import { generateKey } from '../../src/shell/signing-keys/generate-key.ts'
import type { SigningAlgorithm } from '../../src/shell/signing-keys/key-schedule.ts'
import type { PublicKey, SigningKey } from '../../src/shell/signing-keys/signing-key.ts'

/** A new key that was never in a file. */
export async function keyToSignWith(algorithm: SigningAlgorithm = 'ES384'): Promise<SigningKey> {
  const jwk = await generateKey(algorithm)
  const { kid, n = '', e = '', x = '', y = '' } = jwk
  const publicKey: PublicKey =
    algorithm === 'RS384'
      ? { kid, use: 'sig', alg: algorithm, kty: 'RSA', n, e }
      : { kid, use: 'sig', alg: algorithm, kty: 'EC', crv: 'P-384', x, y }
  const privateKey = createPrivateKey({ key: { ...jwk }, format: 'jwk' })
  return { algorithm, kid, announcedMs: 0, signsFromMs: 0, privateKey, publicKey }
}
