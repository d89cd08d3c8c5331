import { createPrivateKey, type KeyObject, X509Certificate } from 'node:crypto'
import { readFileSync } from 'node:fs'
import type { Issue } from '../../../core/basics/issue.ts'
import type { TlsMaterial } from '../../../core/registry/destination.ts'
import { secureContext } from '../../tls/secure-context.ts'
import type { WrittenTls } from '../settings/destination-settings.ts'
import { settingsProblem } from '../settings-refused.ts'

/**
 * The PEM files of a connection, read and understood, so that a wrong one is told at start and not at the first delivery.
 * Paths are taken from the working directory, as all paths of the settings are.
 *
 * @param at place of these settings: `destinations[0].tls`.
 * @param passphrase of the key, resolved.
 * @param report told of each file that cannot be read or is not what it should be; nothing of its content is repeated.
 */
export function readTlsFiles(
  written: WrittenTls,
  at: string,
  passphrase: string | undefined,
  report: (issue: Issue) => void,
): TlsMaterial {
  let told = false
  const tell = (issue: Issue) => {
    told = true
    report(issue)
  }
  const { authoritiesFile, certificateFile, keyFile } = written
  const authorities = pemText(authoritiesFile, `${at}.authoritiesFile`, tell)
  const certificate = pemText(certificateFile, `${at}.certificateFile`, tell)
  const key = pemText(keyFile, `${at}.keyFile`, tell)

  if (authorities !== undefined) certificatesIn(authorities, `${at}.authoritiesFile`, tell)
  if (certificateFile !== undefined && keyFile === undefined) {
    tell(settingsProblem(`${at}.keyFile`, 'the key of the certificate', 'Name its file, too.'))
  }
  if (keyFile !== undefined && certificateFile === undefined) {
    tell(settingsProblem(`${at}.certificateFile`, 'the certificate of the key', 'Name its file, too.'))
  }
  if (passphrase !== undefined && keyFile === undefined) {
    tell(settingsProblem(`${at}.passphrase`, 'no passphrase where no key is', 'Remove it.'))
  }
  const [own] = certificate === undefined ? [] : certificatesIn(certificate, `${at}.certificateFile`, tell)
  const opened = key === undefined ? undefined : privateKey(key, passphrase, at, tell)
  if (own !== undefined && opened !== undefined && !own.checkPrivateKey(opened)) {
    tell(settingsProblem(`${at}.keyFile`, 'the key of the certificate, not another one', 'Name its file.'))
  }
  const material = {
    ...(authorities === undefined ? {} : { authorities }),
    ...(certificate === undefined ? {} : { certificate }),
    ...(key === undefined ? {} : { key }),
    ...(passphrase === undefined ? {} : { passphrase }),
  }
  if (!told) tryOut(material, at, report)
  return material
}

/** What each file shows by itself is not all: a chain may be cut short, a key too weak for OpenSSL. */
function tryOut(material: TlsMaterial, at: string, report: (issue: Issue) => void): void {
  try {
    secureContext(material)
  } catch (refused) {
    const why =
      refused instanceof Error && 'reason' in refused ? `OpenSSL says: ${String(refused.reason)}.` : ''
    report(settingsProblem(at, 'files that TLS can be spoken with', `Make them anew. ${why}`.trim()))
  }
}

function pemText(file: string | undefined, at: string, report: (issue: Issue) => void): string | undefined {
  if (file === undefined) return undefined
  try {
    return readFileSync(file, 'utf8')
  } catch {
    report(settingsProblem(at, 'a file that can be read', 'Check the path and its rights.'))
    return undefined
  }
}

/** Source of the form: RFC 7468 section 5. */
const CERTIFICATE = /-----BEGIN CERTIFICATE-----[\s\S]*?-----END CERTIFICATE-----/g

function certificatesIn(
  text: string,
  at: string,
  report: (issue: Issue) => void,
): readonly X509Certificate[] {
  const blocks = text.match(CERTIFICATE) ?? []
  try {
    const certificates = blocks.map((block) => new X509Certificate(block))
    if (certificates.length > 0) return certificates
  } catch {
    // What the library says quotes the file.
  }
  report(settingsProblem(at, 'certificates in PEM form', 'Name a file of them.'))
  return []
}

function privateKey(
  text: string,
  passphrase: string | undefined,
  at: string,
  report: (issue: Issue) => void,
): KeyObject | undefined {
  try {
    return createPrivateKey(passphrase === undefined ? text : { key: text, passphrase })
  } catch {
    const remedy = 'Name a file of one; where it is encrypted, give its passphrase.'
    report(settingsProblem(`${at}.keyFile`, 'a private key in PEM form that can be opened', remedy))
    return undefined
  }
}
