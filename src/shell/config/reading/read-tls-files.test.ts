import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { TLS_FILES } from '../../../../tests/support/tls-files.ts'
import type { Issue } from '../../../core/basics/issue.ts'
import type { WrittenTls } from '../settings/destination-settings.ts'
import { readTlsFiles } from './read-tls-files.ts'

const { authority, certificate, key, encryptedKey, otherKey } = TLS_FILES

function read(written: WrittenTls, passphrase?: string) {
  const issues: Issue[] = []
  const tls = readTlsFiles(written, 'tls', passphrase, (issue) => issues.push(issue))
  return { tls, told: issues.map(({ at, expected }) => `${at}: ${expected}`) }
}

let folder: string
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), 'tls-'))
})
afterAll(() => rmSync(folder, { recursive: true }))

describe('the TLS files of a destination', () => {
  it('are read as they stand', () => {
    const files = { authoritiesFile: authority, certificateFile: certificate, keyFile: key }
    expect(read(files)).toEqual({
      tls: {
        authorities: readFileSync(authority, 'utf8'),
        certificate: readFileSync(certificate, 'utf8'),
        key: readFileSync(key, 'utf8'),
      },
      told: [],
    })
  })

  it('may have a key that its passphrase opens', () => {
    const { tls, told } = read({ certificateFile: certificate, keyFile: encryptedKey }, 'hush')
    expect(told).toEqual([])
    expect(tls.passphrase).toBe('hush')
  })

  it.each<[string, WrittenTls, string | undefined, string]>([
    [
      'an encrypted key without a passphrase',
      { certificateFile: certificate, keyFile: encryptedKey },
      undefined,
      'tls.keyFile: a private key in PEM form that can be opened',
    ],
    [
      'a wrong passphrase',
      { certificateFile: certificate, keyFile: encryptedKey },
      'hash',
      'tls.keyFile: a private key in PEM form that can be opened',
    ],
    [
      'the key of something else',
      { certificateFile: certificate, keyFile: otherKey },
      undefined,
      'tls.keyFile: the key of the certificate, not another one',
    ],
    ['a key alone', { keyFile: key }, undefined, 'tls.certificateFile: the certificate of the key'],
    [
      'a certificate alone',
      { certificateFile: certificate },
      undefined,
      'tls.keyFile: the key of the certificate',
    ],
    ['a passphrase alone', {}, 'hush', 'tls.passphrase: no passphrase where no key is'],
    [
      'a file that is not there',
      { authoritiesFile: `${authority}.gone` },
      undefined,
      'tls.authoritiesFile: a file that can be read',
    ],
    [
      'a key among the authorities',
      { authoritiesFile: key },
      undefined,
      'tls.authoritiesFile: certificates in PEM form',
    ],
  ])('are refused with %s', (_what, written, passphrase, expected) => {
    expect(read(written, passphrase).told).toEqual([expected])
  })

  it('are refused where a certificate of the chain is cut short, which shows only when they are put to use', () => {
    const chain = join(folder, 'chain.pem')
    writeFileSync(chain, `${readFileSync(certificate, 'utf8')}-----BEGIN CERTIFICATE-----\nMIIB\n`)
    expect(read({ certificateFile: chain, keyFile: key }).told).toEqual([
      'tls: files that TLS can be spoken with',
    ])
  })
})
