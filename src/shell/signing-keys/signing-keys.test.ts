import { createPrivateKey, generateKeyPairSync } from 'node:crypto'
import { chmod, mkdtemp, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import {
  calculateJwkThumbprint,
  createLocalJWKSet,
  exportJWK,
  generateKeyPair,
  jwtVerify,
  SignJWT,
} from 'jose'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { recordedLog } from '../../../tests/support/recorded-log.ts'
import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { type KeyMaking, makeFirstKey, rotateKey } from './add-signing-key.ts'
import { ANNOUNCED_BEFORE_SIGNING_MS, type KeyTimes, PUBLISHED_AFTER_SIGNING_MS } from './key-schedule.ts'
import { signingKeysIn } from './signing-keys.ts'

const START = Date.parse('2026-11-24T21:30:05Z')

let parent: string
let folder: string
let nowMs: number
let audited: AuditEntry[]
let at: KeyMaking
beforeEach(async () => {
  parent = await mkdtemp(join(tmpdir(), 'signing-keys-'))
  folder = join(parent, 'keys')
  nowMs = START
  audited = []
  at = {
    folder,
    clock: { now: () => nowMs },
    store: { recordAudit: async (entry) => void audited.push(entry) },
  }
})
afterEach(() => rm(parent, { recursive: true }))

async function made(act: typeof makeFirstKey, algorithm: KeyTimes['algorithm'] = 'ES384'): Promise<KeyTimes> {
  const result = await act(algorithm, 'operator', at)
  if (!result.ok) throw new Error(result.issues[0].code)
  return result.value
}

function keys(log = recordedLog()) {
  return signingKeysIn(folder, { clock: at.clock, log })
}

describe('a signing key', () => {
  it.each(['ES384', 'RS384'] as const)(
    'of %s signs what its public half in the key set verifies',
    async (algorithm) => {
      const { kid } = await made(makeFirstKey, algorithm)
      const signer = await keys().signer(algorithm)
      expect(signer?.kid).toBe(kid)
      const jwt = await new SignJWT({ jti: '1' })
        .setProtectedHeader({ alg: algorithm, kid })
        .sign(signer?.privateKey ?? new Uint8Array())
      const set = createLocalJWKSet({ keys: [...(await keys().published())] })
      expect((await jwtVerify(jwt, set)).payload).toEqual({ jti: '1' })
    },
  )

  it.each([
    ['ES384', ['alg', 'crv', 'kid', 'kty', 'use', 'x', 'y']],
    ['RS384', ['alg', 'e', 'kid', 'kty', 'n', 'use']],
  ] as const)(
    'of %s is published without its private half, under its RFC 7638 thumbprint',
    async (algorithm, members) => {
      await made(makeFirstKey, algorithm)
      const [published] = await keys().published()
      expect(Object.keys(published ?? {}).sort()).toEqual(members)
      expect(published?.kid).toBe(await calculateJwkThumbprint({ ...published }))
    },
  )

  it('of RS384 has 3072 bits', async () => {
    await made(makeFirstKey, 'RS384')
    expect((await keys().signer('RS384'))?.privateKey.asymmetricKeyDetails?.modulusLength).toBe(3072)
  })

  it('prints without its private half', async () => {
    await made(makeFirstKey)
    const signer = await keys().signer('ES384')
    const [file = ''] = await readdir(folder)
    const { d } = JSON.parse(await readFile(join(folder, file), 'utf8')).key
    expect(JSON.stringify(signer)).not.toContain(d)
  })

  it('lies in a file that only its owner may read, in a folder of the same kind', async () => {
    await made(makeFirstKey)
    const [file = '', ...more] = await readdir(folder)
    expect(more).toEqual([])
    expect((await stat(join(folder, file))).mode & 0o777).toBe(0o600)
    expect((await stat(folder)).mode & 0o777).toBe(0o700)
  })

  it('is recorded with its id and algorithm', async () => {
    const { kid } = await made(makeFirstKey)
    expect(audited).toEqual([
      {
        at: '2026-11-24T21:30:05Z',
        actor: 'operator',
        action: 'signing-key-made',
        about: kid,
        outcome: 'done',
        detail: { algorithm: 'ES384', signsFrom: '2026-11-24T21:30:05Z' },
      },
    ])
  })

  it('does not stay when it could not be recorded', async () => {
    at = { ...at, store: { recordAudit: () => Promise.reject(new StoreFailed('down')) } }
    await expect(makeFirstKey('ES384', 'operator', at)).rejects.toThrow(StoreFailed)
    expect(await readdir(folder)).toEqual([])
  })
})

describe('a folder of keys', () => {
  it('that is not there holds none', async () => {
    expect(await keys().published()).toEqual([])
    expect(await keys().signer('ES384')).toBeUndefined()
  })

  it.each([0o640, 0o604, 0o620])(
    'is refused when others have rights to a key (%o), telling how to mend it',
    async (mode) => {
      await made(makeFirstKey)
      const [file = ''] = await readdir(folder)
      await chmod(join(folder, file), mode)
      await expect(keys().published()).rejects.toThrow(/ES384-.*\.json cannot be used[\s\S]*chmod 600/)
    },
  )

  it.each([
    ['no JSON', () => '{'],
    ['no key', () => '{}'],
    [
      'another key’s id',
      (text: string) => text.replace(/"kid": "(.)/, (_, first) => `"kid": "${first === '_' ? 'A' : '_'}`),
    ],
    ['numbers that are no key', (text: string) => text.replace(/"x": "..../, '"x": "AAAA')],
    ['no time', (text: string) => text.replace('2026-11-24T', '2026-11-24 ')],
  ])('is refused for a file with %s, and tells nothing of what stands in it', async (_what, spoilt) => {
    await made(makeFirstKey)
    const [name = ''] = await readdir(folder)
    const file = join(folder, name)
    const text = await readFile(file, 'utf8')
    await writeFile(file, spoilt(text))
    const { d } = JSON.parse(text).key
    const refusal = await keys().published().then(String, String)
    expect(refusal).toContain(name)
    expect(refusal).toContain('expected a private key as the command keys writes it')
    expect(refusal).not.toContain(d)
  })

  it('is refused for an RSA key below 2048 bits (RFC 7518 section 3.3)', async () => {
    await made(makeFirstKey)
    const [name = ''] = await readdir(folder)
    const { privateKey } = await generateKeyPair('RS384', { modulusLength: 2048, extractable: true })
    const strong = await exportJWK(privateKey)
    const weak = createPrivateKey(
      generateKeyPairSync('rsa', { modulusLength: 1024 }).privateKey.export({ type: 'pkcs8', format: 'pem' }),
    ).export({ format: 'jwk' })
    const written = async (key: object) => {
      const kid = await calculateJwkThumbprint({ ...key })
      const times = { announcedAt: '2026-11-24T00:00:00Z', signsFrom: '2026-11-24T00:00:00Z' }
      await writeFile(
        join(folder, name),
        JSON.stringify({ ...times, key: { ...key, kid, alg: 'RS384', use: 'sig' } }),
      )
    }
    await written(strong)
    expect(await keys().published()).toHaveLength(1)
    await written(weak)
    await expect(keys().published()).rejects.toThrow('cannot be used')
  })

  it('is followed while it changes, by one who read it before', async () => {
    const running = keys()
    expect(await running.published()).toEqual([])
    const first = await made(makeFirstKey)
    expect((await running.signer('ES384'))?.kid).toBe(first.kid)
    nowMs += 86_400_000
    const second = await made(rotateKey)
    expect((await running.published()).map(({ kid }) => kid)).toEqual([first.kid, second.kid])
  })

  it('goes on with what was read when a file becomes unusable, and says so once', async () => {
    const log = recordedLog()
    const running = keys(log)
    const { kid } = await made(makeFirstKey)
    await running.published()
    await writeFile(join(folder, 'another.json'), '{}', { mode: 0o600 })
    expect((await running.signer('ES384'))?.kid).toBe(kid)
    expect((await running.published()).map((one) => one.kid)).toEqual([kid])
    expect(log.lines).toEqual([
      { level: 'error', event: 'signing-keys-unusable', fields: { code: 'SETTINGS_REFUSED' } },
    ])
  })
})

describe('rotating a key', () => {
  it('runs J4: both published, the set’s age passes, the new one signs, five minutes, the old one is dropped', async () => {
    const running = keys()
    const old = await made(makeFirstKey)
    nowMs = START + 86_400_000
    const next = await made(rotateKey)
    const signs = nowMs + ANNOUNCED_BEFORE_SIGNING_MS
    expect(next.signsFromMs).toBe(signs)
    const seen = async (ms: number) => {
      nowMs = ms
      const published = (await running.published()).map(({ kid }) => kid)
      return [(await running.signer('ES384'))?.kid, published]
    }
    expect(await seen(nowMs)).toEqual([old.kid, [old.kid, next.kid]])
    expect(await seen(signs - 1)).toEqual([old.kid, [old.kid, next.kid]])
    expect(await seen(signs)).toEqual([next.kid, [old.kid, next.kid]])
    expect(await seen(signs + PUBLISHED_AFTER_SIGNING_MS - 1)).toEqual([next.kid, [old.kid, next.kid]])
    expect(await seen(signs + PUBLISHED_AFTER_SIGNING_MS)).toEqual([next.kid, [next.kid]])
  })

  it('removes the file of a dropped key at the next rotation, and no other', async () => {
    await made(makeFirstKey)
    nowMs += 86_400_000
    const second = await made(rotateKey)
    expect(await readdir(folder)).toHaveLength(2)
    nowMs += 86_400_000
    const third = await made(rotateKey)
    expect((await readdir(folder)).sort()).toEqual(
      [second, third].map(({ kid }) => `ES384-${kid}.json`).sort(),
    )
  })

  it('is refused while a new key waits to sign, and writes nothing', async () => {
    await made(makeFirstKey)
    await made(rotateKey)
    await expect(made(rotateKey)).rejects.toThrow('NOT_YET')
    expect(await readdir(folder)).toHaveLength(2)
    nowMs += ANNOUNCED_BEFORE_SIGNING_MS
    await made(rotateKey)
    expect(await readdir(folder)).toHaveLength(3)
  })

  it('needs a key to rotate, and a first key needs that there is none', async () => {
    await expect(made(rotateKey)).rejects.toThrow('NOT_FOUND')
    await made(makeFirstKey)
    await expect(made(makeFirstKey)).rejects.toThrow('NOT_A_CHOICE')
    await expect(made(rotateKey, 'RS384')).rejects.toThrow('NOT_FOUND')
  })
})
