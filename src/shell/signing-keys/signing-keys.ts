import { GatewayError } from '../../core/basics/gateway-error.ts'
import type { Clock, Log } from '../../flow/ports/ports.ts'
import { readKeyFile } from './key-file.ts'
import { publishedAt, type SigningAlgorithm, signerAt } from './key-schedule.ts'
import { lookIntoKeyFolder } from './read-key-folder.ts'
import type { PublicKey, SigningKey } from './signing-key.ts'

/** Our keys, as they stand now. */
export interface SigningKeys {
  /**
   * The key that signs now; undefined when there is none for the algorithm.
   *
   * @throws SettingsRefused as `published`.
   */
  signer(algorithm: SigningAlgorithm): Promise<SigningKey | undefined>
  /**
   * What our key set holds now.
   *
   * @throws SettingsRefused when the folder or a file in it cannot be used and nothing was read before.
   */
  published(): Promise<readonly PublicKey[]>
}

/**
 * The keys of a folder. It is looked at each time, which costs a few system calls, and read again when a file in it
 * changed: a running service follows a rotation without being told. What cannot be used then is left aside with an error
 * in the log, and what was read before goes on.
 */
export function signingKeysIn(
  folder: string,
  { clock, log }: { readonly clock: Clock; readonly log: Log },
): SigningKeys {
  let known: { readonly fingerprint: string; readonly keys: readonly SigningKey[] } | undefined
  let complainedOf: string | undefined

  async function keys(): Promise<readonly SigningKey[]> {
    let seen = ''
    try {
      const { files, fingerprint } = await lookIntoKeyFolder(folder)
      seen = fingerprint
      if (known?.fingerprint !== fingerprint) {
        known = { fingerprint, keys: await Promise.all(files.map(readKeyFile)) }
      }
      complainedOf = undefined
      return known.keys
    } catch (thrown) {
      if (known === undefined || !(thrown instanceof GatewayError)) throw thrown
      if (complainedOf !== seen) log.error('signing-keys-unusable', { code: thrown.code })
      complainedOf = seen
      return known.keys
    }
  }

  return {
    signer: async (algorithm) => signerAt(await keys(), algorithm, clock.now()),
    published: async () => publishedAt(await keys(), clock.now()).map(({ publicKey }) => publicKey),
  }
}
