import { fileURLToPath } from 'node:url'

/** Paths of the invented certificates and keys of `tests/fixtures/tls`. */
export const TLS_FILES = {
  authority: pathOf('authority'),
  certificate: pathOf('certificate'),
  key: pathOf('key'),
  /** The same key, encrypted with the passphrase `hush`. */
  encryptedKey: pathOf('key-encrypted'),
  /** A key that no certificate is for. */
  otherKey: pathOf('other-key'),
} as const

function pathOf(name: string): string {
  return fileURLToPath(new URL(`../fixtures/tls/${name}.pem`, import.meta.url))
}
