import { mkdtemp, readdir, rm, writeFile } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { OpenGateway } from '../../src/shell/cli/open-gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

let folder: string
let keys: string
let settings: string
let opened: OpenDoor
beforeEach(async () => {
  opened = await openDoor()
  folder = await mkdtemp(join(tmpdir(), 'signing-keys-'))
  keys = join(folder, 'keys')
  settings = join(folder, 'gateway.json')
  await writeFile(
    settings,
    JSON.stringify({
      store: { file: join(folder, 'gateway.db') },
      signingKeysFolder: keys,
      log: { level: 'silent' },
    }),
  )
})
afterEach(async () => {
  await opened.close()
  await rm(folder, { recursive: true })
})

/** A gateway whose store stays open from one command to the next, as that of a running service does. */
const openGateway: OpenGateway = async () => ({
  ports: { ...opened.ports, clock: { now: Date.now } },
  listen: () => Promise.resolve({ url: opened.url }),
  startSchedule: () => Promise.resolve(),
  stop: () => Promise.resolve(),
})

async function run(...words: string[]) {
  const at = recordedTerminal(140)
  const code = await runCommandLine(['keys', ...words, '--settings', settings], at, openGateway, '0.0.0')
  return { code, output: at.output(), remarks: at.remarks() }
}

async function runJson(...words: string[]) {
  const { code, output } = await run(...words, '--json')
  return { code, ...JSON.parse(output) }
}

describe('the command keys', () => {
  it('makes a key that signs at once, lists it, and never shows its private half', async () => {
    const made = await runJson('make')
    expect(made).toMatchObject({ code: 0, keys: [{ algorithm: 'ES384' }] })
    const listed = await run('list')
    expect(listed.code).toBe(0)
    expect(listed.output).toContain(made.keys[0].kid)
    expect(listed.output).toContain('signing')
    expect((await runJson('list')).keys).toEqual([{ ...made.keys[0], state: 'signing' }])
    expect(listed.output + JSON.stringify(made)).not.toContain('"d"')
  })

  it('rotates each key there is: the new ones wait, the old ones are told when they end', async () => {
    await run('make')
    await run('make', '--algorithm', 'RS384')
    const rotated = await runJson('rotate', '--algorithm', 'ES384')
    expect(rotated).toMatchObject({ code: 0, keys: [{ algorithm: 'ES384' }] })
    const [signing, announced, other] = (await runJson('list')).keys
    expect(signing).toMatchObject({ state: 'signing', signsUntil: rotated.keys[0].signsFrom })
    expect(announced).toMatchObject({ ...rotated.keys[0], state: 'announced' })
    expect(other).toMatchObject({ algorithm: 'RS384', state: 'announced' })
    const again = await runJson('rotate')
    expect(again.code).toBe(1)
    expect(again.issues.map(({ code }: { code: string }) => code)).toEqual(['NOT_YET', 'NOT_YET'])
  })

  it('refuses a second first key and a rotation of nothing, with the way out', async () => {
    const nothing = await run('rotate')
    expect(nothing.code).toBe(1)
    expect(nothing.remarks).toContain('keys make')
    await run('make')
    const second = await run('make')
    expect(second.code).toBe(1)
    expect(second.remarks).toContain('keys rotate')
    expect(await readdir(keys)).toHaveLength(1)
  })

  it('ends with 2 for an algorithm SMART does not name', async () => {
    expect((await run('make', '--algorithm', 'HS256')).code).toBe(2)
  })

  it('records each key it makes', async () => {
    const { keys: made } = await runJson('make')
    const rows = await opened.ports.store.auditPage({ limit: 10 })
    expect(rows.filter(({ action }) => action === 'signing-key-made')).toMatchObject([
      { actor: 'operator', about: made[0].kid, detail: { algorithm: 'ES384' } },
    ])
  })
})

describe('GET /.well-known/jwks.json', () => {
  const path = '/.well-known/jwks.json'

  it('gives the public keys to anybody, to be kept for as long as a rotation waits', async () => {
    const { keys: made } = await runJson('make')
    const door = await openDoor({ settings: { access: 'keys', signingKeysFolder: keys } })
    try {
      const { status, headers, json } = await ask(door.url, path)
      expect(status).toBe(200)
      expect(headers['content-type']).toBe('application/json; charset=utf-8')
      expect(headers['cache-control']).toBe('public, max-age=300')
      expect(json).toEqual({
        keys: [
          {
            kid: made[0].kid,
            use: 'sig',
            alg: 'ES384',
            kty: 'EC',
            crv: 'P-384',
            x: expect.stringMatching(/^[\w-]{64}$/),
            y: expect.stringMatching(/^[\w-]{64}$/),
          },
        ],
      })
    } finally {
      await door.close()
    }
  })

  it('lets nobody keep an empty set, and shows a key that is made while it runs', async () => {
    const door = await openDoor({ settings: { signingKeysFolder: keys } })
    try {
      const empty = await ask(door.url, path)
      expect(empty.json).toEqual({ keys: [] })
      expect(empty.headers['cache-control']).toBe('no-store')
      const { keys: made } = await runJson('make')
      expect((await ask(door.url, path)).json).toMatchObject({ keys: [{ kid: made[0].kid }] })
    } finally {
      await door.close()
    }
  })

  it('is read only', async () => {
    const door = await openDoor()
    try {
      expect((await ask(door.url, path, { method: 'POST' })).status).toBe(405)
    } finally {
      await door.close()
    }
  })
})
