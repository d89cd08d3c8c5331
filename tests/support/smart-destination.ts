import type { FhirDestination, SmartBackendAccess } from '../../src/core/registry/destination.ts'
import type { SigningKey } from '../../src/shell/signing-keys/signing-key.ts'
import type { SigningKeys } from '../../src/shell/signing-keys/signing-keys.ts'
import { exampleSettings } from './example-settings.ts'

/** An invented clinic with access by SMART Backend Services, as settings with these keys would give it. */
export function smartDestination(
  baseUrl: string,
  access: Partial<SmartBackendAccess> = {},
  name = 'clinic',
): FhirDestination {
  const { destinations } = exampleSettings({
    destinations: [{ name, baseUrl, access: { kind: 'smart-backend', clientId: 'gateway', ...access } }],
  })
  const [one] = destinations
  if (one?.kind !== 'fhir') throw new Error('no FHIR destination')
  return one
}

/** Keys that are all published, of which each signs with its algorithm. */
export function heldKeys(...keys: readonly SigningKey[]): SigningKeys {
  return {
    signer: async (algorithm) => keys.find((one) => one.algorithm === algorithm),
    published: async () => keys.map(({ publicKey }) => publicKey),
  }
}
