import { createSecureContext, type SecureContext } from 'node:tls'
import type { TlsMaterial } from '../../core/registry/destination.ts'

/**
 * Whom a destination's connections believe and what they show, at TLS 1.2 or later. Absent authorities: those that come
 * with Node, and NODE_EXTRA_CA_CERTS.
 * Source: RFC 9325 section 3.1.1, no version before 1.2.
 *
 * @throws Error when the texts are no PEM, the key does not fit the certificate, or the passphrase is wrong. Its message
 *   is OpenSSL's and holds nothing of the texts.
 */
export function secureContext({ authorities, certificate, key, passphrase }: TlsMaterial): SecureContext {
  return createSecureContext({
    minVersion: 'TLSv1.2',
    ...(authorities === undefined ? {} : { ca: authorities }),
    ...(certificate === undefined ? {} : { cert: certificate }),
    ...(key === undefined ? {} : { key }),
    ...(passphrase === undefined ? {} : { passphrase }),
  })
}
