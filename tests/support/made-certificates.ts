import { generate } from 'selfsigned'

/** A certificate and its key as PEM texts. */
export interface MadeCertificate {
  readonly certificate: string
  readonly key: string
}

/** A certificate authority of a test, which nobody else believes. */
export interface MadeAuthority {
  /** Its own certificate, PEM. */
  readonly certificate: string
  /** For a server on 127.0.0.1, or under a name. */
  forServer(host?: string): Promise<MadeCertificate>
  /** For a client that must prove who it is. */
  forClient(): Promise<MadeCertificate>
}

const KIND = { keyType: 'ec', curve: 'P-256', algorithm: 'sha256' } as const

/** Made anew for each test run: no key lies in the repository. */
export async function makeAuthority(name = 'Authority of a test'): Promise<MadeAuthority> {
  const { cert, private: key } = await generate([{ name: 'commonName', value: name }], {
    ...KIND,
    extensions: [
      { name: 'basicConstraints', cA: true, critical: true },
      { name: 'keyUsage', keyCertSign: true, cRLSign: true, critical: true },
    ],
  })
  const ca = { cert, key }
  return {
    certificate: cert,
    async forServer(host = '127.0.0.1') {
      const isAddress = /^[\d.]+$/.test(host)
      const made = await generate([{ name: 'commonName', value: host }], {
        ...KIND,
        ca,
        extensions: [
          { name: 'basicConstraints', cA: false },
          { name: 'extKeyUsage', serverAuth: true },
          {
            name: 'subjectAltName',
            altNames: [isAddress ? { type: 7, ip: host } : { type: 2, value: host }],
          },
        ],
      })
      return { certificate: made.cert, key: made.private }
    },
    async forClient() {
      const made = await generate([{ name: 'commonName', value: 'Client of a test' }], {
        ...KIND,
        ca,
        extensions: [
          { name: 'basicConstraints', cA: false },
          { name: 'extKeyUsage', clientAuth: true },
        ],
      })
      return { certificate: made.cert, key: made.private }
    },
  }
}
