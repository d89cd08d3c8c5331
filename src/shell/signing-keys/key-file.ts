import { createPrivateKey, type KeyObject } from 'node:crypto'
import { mkdir, open, rename } from 'node:fs/promises'
import { join } from 'node:path'
import { calculateJwkThumbprint } from 'jose'
import { z } from 'zod'
import { instantOf, readInstant } from '../../core/basics/instant.ts'
import type { Issue } from '../../core/basics/issue.ts'
import { settingsProblem, settingsRefused } from '../config/settings-refused.ts'
import type { KeyTimes } from './key-schedule.ts'
import type { PublicKey, SigningKey } from './signing-key.ts'

const base64url = z.string().regex(/^[A-Za-z0-9_-]+$/)
const time = z.string().transform((text, context) => {
  const instant = readInstant(text)
  if (instant !== undefined) return instant.epochMs
  context.addIssue({ code: 'custom', message: 'an RFC 3339 time' })
  return z.NEVER
})
const common = { kid: base64url, use: z.literal('sig') }

/** Names are those of RFC 7517 and RFC 7518 section 6; `d` and what follows from it are the private half. */
const keyFile = z.strictObject({
  announcedAt: time,
  signsFrom: time,
  key: z.discriminatedUnion('alg', [
    z.looseObject({
      ...common,
      alg: z.literal('RS384'),
      kty: z.literal('RSA'),
      n: base64url,
      e: base64url,
      d: base64url,
    }),
    z.looseObject({
      ...common,
      alg: z.literal('ES384'),
      kty: z.literal('EC'),
      crv: z.literal('P-384'),
      x: base64url,
      y: base64url,
      d: base64url,
    }),
  ]),
})

/** RFC 7518 section 3.3. */
const LEAST_RSA_BITS = 2_048

/** Rights that a private key's file must not give: any to the group or to others. */
const RIGHTS_OF_OTHERS = 0o077

/**
 * Reads a signing key's file.
 *
 * @throws SettingsRefused when others may read it, or it is no key of ours. Its text tells no part of a key.
 */
export async function readKeyFile(file: string): Promise<SigningKey> {
  const text = await readPrivately(file)
  const read = keyFile.safeParse(parsed(text))
  if (!read.success) throw settingsRefused(file, [NO_KEY])
  const { announcedAt, signsFrom, key } = read.data
  const privateKey = privateKeyOf(key)
  const kid = await calculateJwkThumbprint(key)
  if (privateKey === undefined || kid !== key.kid) throw settingsRefused(file, [NO_KEY])
  return {
    algorithm: key.alg,
    kid,
    announcedMs: announcedAt,
    signsFromMs: signsFrom,
    privateKey,
    publicKey: publicHalf(key),
  }
}

/**
 * Writes a signing key's file, which only its owner may read, and makes the folder where it is missing. The file appears
 * whole or not at all.
 */
export async function writeKeyFile(
  folder: string,
  times: KeyTimes,
  key: Readonly<Record<string, unknown>>,
): Promise<string> {
  await mkdir(folder, { recursive: true, mode: 0o700 })
  const file = join(folder, `${times.algorithm}-${times.kid}.json`)
  const unfinished = `${file}.unfinished`
  const handle = await open(unfinished, 'wx', 0o600)
  try {
    const announcedAt = instantOf(times.announcedMs).text
    const signsFrom = instantOf(times.signsFromMs).text
    await handle.writeFile(`${JSON.stringify({ announcedAt, signsFrom, key }, undefined, 2)}\n`)
    await handle.sync()
  } finally {
    await handle.close()
  }
  await rename(unfinished, file)
  return file
}

/**
 * The text of a file that only its owner may read. Rights are asked of the open file, so that no other can take its place.
 */
async function readPrivately(file: string): Promise<string> {
  const handle = await open(file, 'r').catch((cause: unknown) => {
    throw settingsRefused(file, [NOT_READABLE], cause)
  })
  try {
    const { mode } = await handle.stat()
    // Windows has no such rights, and tells of all that a file may be read by all.
    if (process.platform !== 'win32' && (mode & RIGHTS_OF_OTHERS) !== 0) {
      throw settingsRefused(file, [READABLE_BY_OTHERS])
    }
    return await handle.readFile('utf8')
  } finally {
    await handle.close()
  }
}

function parsed(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return undefined
  }
}

type PrivateKey = z.output<typeof keyFile>['key']

/** Undefined when the numbers are no key, or a weak one. */
function privateKeyOf(key: PrivateKey): KeyObject | undefined {
  try {
    const privateKey = createPrivateKey({ key, format: 'jwk' })
    const bits = privateKey.asymmetricKeyDetails?.modulusLength ?? LEAST_RSA_BITS
    return bits < LEAST_RSA_BITS ? undefined : privateKey
  } catch {
    return undefined
  }
}

/** Each member by name, so that nothing private can come along. */
function publicHalf(key: PrivateKey): PublicKey {
  const { kid, use } = key
  return key.alg === 'RS384'
    ? { kid, use, alg: key.alg, kty: key.kty, n: key.n, e: key.e }
    : { kid, use, alg: key.alg, kty: key.kty, crv: key.crv, x: key.x, y: key.y }
}

const READABLE_BY_OTHERS: Issue = settingsProblem(
  '',
  'a private key that nobody but its owner may read or write',
  'Take the rights from all others (chmod 600). If others could read it, put a new key in its place (keys rotate).',
)
const NOT_READABLE: Issue = settingsProblem('', 'a file that can be read', 'Check the path and its rights.')
const NO_KEY: Issue = settingsProblem(
  '',
  'a private key as the command keys writes it',
  'Put back the file as it was, or remove it and make a new key.',
)
