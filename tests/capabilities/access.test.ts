import { hash } from 'node:crypto'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { Role } from '../../src/core/registry/source.ts'
import { issueKey } from '../../src/flow/register/access-keys.ts'
import { type Answer, ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'

describe('access by keys', () => {
  let door: OpenDoor
  const keys = new Map<string, string>()
  beforeAll(async () => {
    door = await openDoor({ settings: { access: 'keys' } })
    await issue('harbour', 'submit', 'harbour-app')
    await issue('meadow', 'submit', 'meadow-app')
    for (const role of ['read', 'operate', 'audit'] as const) await issue(role, role)
  })
  afterAll(() => door.close())

  async function issue(name: string, role: Role, source?: string): Promise<void> {
    const issued = await issueKey(source === undefined ? { role } : { role, source }, 'operator', door.ports)
    if (!issued.ok) throw new Error('no key')
    keys.set(name, issued.value.key)
  }

  function as(name: string): { readonly Authorization: string } {
    return { Authorization: `Bearer ${keys.get(name) ?? ''}` }
  }

  function expectRefusal(answer: Answer, status: number, code: string, at: string): void {
    expect(answer.status).toBe(status)
    expect(answer.json).toMatchObject({ status, code, issues: [{ at }] })
  }

  it('keeps a key only as its digest', async () => {
    const key = keys.get('harbour') ?? ''
    expect(key).toMatch(/^hbp_[A-Za-z0-9_-]{43}$/)
    expect(await door.ports.store.accessKey(hash('sha256', key, 'hex'))).toMatchObject({
      role: 'submit',
      source: 'harbour-app',
    })
    expect(await door.ports.store.accessKey(key)).toBeUndefined()
  })

  it('takes a session from the key’s own source, whatever the record says', async () => {
    const answer = await postJson(door.url, '/sessions', rawRecord({ id: 'own-1' }), as('harbour'))
    expect(answer.status).toBe(201)
    expect(answer.json).toMatchObject({ outcome: 'kept', source: 'harbour-app', id: 'own-1' })
  })

  it('lets a source see its own session and no other’s', async () => {
    await postJson(door.url, '/sessions', rawRecord({ id: 'own-2' }), as('harbour'))
    expect((await ask(door.url, '/sessions/own-2', { headers: as('harbour') })).status).toBe(200)
    expectRefusal(
      await ask(door.url, '/sessions/own-2', { headers: as('meadow') }),
      404,
      'NOT_FOUND',
      'path.id',
    )
  })

  it('lets a source correct and withdraw its own session and no other’s', async () => {
    const record = rawRecord({ id: 'own-4' })
    const asked = (method: string, name: string, changes = {}) =>
      ask(door.url, '/sessions/own-4', {
        method,
        headers: { ...as(name), 'Content-Type': 'application/json' },
        body: method === 'PUT' ? JSON.stringify({ ...record, ...changes }) : '',
      })
    await postJson(door.url, '/sessions', record, as('harbour'))
    expectRefusal(await asked('DELETE', 'meadow'), 404, 'NOT_FOUND', 'path.id')
    const versions = await ask(door.url, '/sessions/own-4/versions', { headers: as('meadow') })
    expectRefusal(versions, 404, 'NOT_FOUND', 'path.id')
    // The same id is another session with another source: it is kept beside the one that is there.
    expect((await asked('PUT', 'meadow', { arm: 'right' })).json).toMatchObject({ outcome: 'kept' })
    expect((await asked('PUT', 'harbour', { arm: 'right' })).json).toMatchObject({ version: 2 })
    expect((await asked('DELETE', 'harbour')).json).toMatchObject({ version: 3, withdrawn: true })
    const held = await ask(door.url, '/sessions/own-4', { headers: as('meadow') })
    expect(held.json).toMatchObject({ version: 1, withdrawn: false })
  })

  it('keeps the same id of two sources apart', async () => {
    const first = await postJson(door.url, '/sessions', rawRecord({ id: 'shared' }), as('harbour'))
    const second = await postJson(
      door.url,
      '/sessions',
      rawRecord({ id: 'shared', arm: 'right' }),
      as('meadow'),
    )
    expect([first.status, second.status]).toEqual([201, 201])
  })

  it('refuses a key that names another source', async () => {
    const answer = await postJson(door.url, '/sessions?source=meadow-app', rawRecord(), as('harbour'))
    expectRefusal(answer, 403, 'NOT_ALLOWED', 'query.source')
  })

  it.each([
    ['no key', {}],
    ['a key nobody issued', { Authorization: `Bearer hbp_${'A'.repeat(43)}` }],
    ['a key of another form', { Authorization: 'Bearer letmein' }],
    ['a key in another scheme', { Authorization: `Basic ${Buffer.from('a:b').toString('base64')}` }],
  ])('answers 401 with a challenge to %s', async (_what, headers) => {
    const answer = await postJson(door.url, '/sessions', rawRecord(), headers)
    expectRefusal(answer, 401, 'KEY_REQUIRED', 'header.Authorization')
    expect(answer.headers['www-authenticate']).toMatch(/^Bearer realm="home-bp-gateway"/)
  })

  const NOWHERE = '/periods/00000000-0000-4000-8000-000000000000'
  const OPERATE = ['operate'] as const
  const READ = ['read', 'operate'] as const
  const ROUTES: readonly (readonly [method: string, path: string, allowed: readonly string[]])[] = [
    ['POST', '/sessions', ['harbour']],
    ['GET', '/sessions/x?source=harbour-app', ['harbour', ...READ]],
    ['PUT', '/sessions/x', ['harbour']],
    ['DELETE', '/sessions/x', ['harbour']],
    ['GET', '/sessions/x/versions?source=harbour-app', ['harbour', ...READ]],
    ['GET', '/sources', READ],
    ['POST', '/sources', OPERATE],
    ['POST', '/sources/harbour-app/keys', OPERATE],
    ['POST', '/keys', OPERATE],
    ['GET', '/keys', ['operate', 'audit']],
    ['DELETE', '/keys/000000000000', OPERATE],
    ['GET', '/enrolments/harbour-app/HW-1042', READ],
    ['PUT', '/enrolments/harbour-app/HW-1042', OPERATE],
    ['GET', '/periods', READ],
    ['POST', '/periods', OPERATE],
    ['DELETE', NOWHERE, OPERATE],
    ['GET', NOWHERE, READ],
    ['POST', `${NOWHERE}/close`, OPERATE],
    ['GET', `${NOWHERE}/bundle`, READ],
    ['GET', `${NOWHERE}/average`, READ],
    ['GET', `${NOWHERE}/averages`, READ],
    ['GET', `${NOWHERE}/averages/1`, READ],
    ['GET', `${NOWHERE}/averages/1/bundle`, READ],
    ['GET', `${NOWHERE}/comparison`, READ],
    ['GET', '/averages', READ],
    ['GET', '/deliveries', READ],
    ['GET', '/deliveries/1', OPERATE],
    ['POST', '/deliveries/1/retry', OPERATE],
    ['POST', '/deliveries/999/retry', OPERATE],
    ['POST', '/deliveries/1/confirm', OPERATE],
    ['POST', '/deliveries/999/confirm', OPERATE],
    ['GET', '/audit', ['audit']],
    ['GET', '/audit/verify', ['audit']],
    ['POST', '/fhir/$validate', ['harbour', 'read', 'operate', 'audit']],
    ['POST', '/fhir/Observation/$validate', ['harbour', 'read', 'operate', 'audit']],
    ['GET', '/metrics', READ],
  ]

  it.each(ROUTES)('%s %s is for %s only', async (method, path, allowed) => {
    for (const name of ['harbour', 'read', 'operate', 'audit']) {
      const { status } = await ask(door.url, path, { method, headers: as(name) })
      if (allowed.includes(name)) expect([name, status]).not.toEqual([name, 403])
      else expect([name, status]).toEqual([name, 403])
    }
    expect((await ask(door.url, path, { method })).status).toBe(401)
  })

  it.each([
    '/health/live',
    '/health/ready',
    '/openapi.json',
    '/fhir/metadata',
    '/fhir/StructureDefinition',
    '/fhir/ValueSet/arms',
    '/problems/NOT_JSON',
  ])('%s is open to all', async (path) => {
    expect((await ask(door.url, path)).status).toBe(200)
  })

  it('lets an operator issue a key that works at once and is shown once', async () => {
    const issued = await postJson(door.url, '/sources/meadow-app/keys', {}, as('operate'))
    expect(issued.status).toBe(201)
    const { key } = issued.json as { key: string }
    const answer = await postJson(door.url, '/sessions', rawRecord({ id: 'new-key' }), {
      Authorization: `bearer ${key}`,
    })
    expect(answer.json).toMatchObject({ source: 'meadow-app' })
    const listed = await ask(door.url, '/sources', { headers: as('read') })
    expect(listed.text).not.toContain('hbp_')
  })

  it('issues a source’s key without a body too, and then without a label', async () => {
    for (const headers of [as('operate'), { ...as('operate'), 'Transfer-Encoding': 'chunked' }]) {
      const issued = await ask(door.url, '/sources/meadow-app/keys', { method: 'POST', headers })
      expect(issued.status).toBe(201)
      expect(issued.json).not.toHaveProperty('label')
    }
  })

  it('writes who did it into the audit trail, and no key', async () => {
    await postJson(door.url, '/sources', { name: 'hill-app', title: 'Hill' }, as('operate'))
    const { json, text } = await ask(door.url, '/audit?limit=200', { headers: as('audit') })
    expect(json).toHaveProperty(
      'items',
      expect.arrayContaining([expect.objectContaining({ action: 'source-registered', about: 'hill-app' })]),
    )
    for (const key of keys.values()) expect(text).not.toContain(key)
    for (const key of keys.values()) expect(JSON.stringify(door.log.lines)).not.toContain(key)
  })

  it('lists keys by what tells them apart, and never a key or its whole digest', async () => {
    const { json, text } = await ask(door.url, '/keys', { headers: as('audit') })
    const shown = (name: string) => hash('sha256', keys.get(name) ?? '', 'hex').slice(0, 12)
    expect(json).toMatchObject({
      items: expect.arrayContaining([
        { id: shown('harbour'), role: 'submit', source: 'harbour-app', madeAt: '2026-03-20T12:00:00Z' },
        { id: shown('read'), role: 'read', madeAt: '2026-03-20T12:00:00Z' },
      ]),
    })
    for (const key of keys.values()) {
      expect(text).not.toContain(key)
      expect(text).not.toContain(hash('sha256', key, 'hex').slice(0, 13))
    }
  })

  it('names the key in the audit rows of what was done with it', async () => {
    const id = (name: string) => hash('sha256', keys.get(name) ?? '', 'hex').slice(0, 12)
    const record = rawRecord({ id: 'by-key-1' })
    const send = (method: string, body: unknown) =>
      ask(door.url, '/sessions/by-key-1', {
        method,
        headers: { ...as('harbour'), 'Content-Type': 'application/json' },
        body: JSON.stringify(body),
      })
    await postJson(door.url, '/sessions', record, as('harbour'))
    await postJson(door.url, '/sessions', { ...record, id: 'by-key-2', subject: '' }, as('harbour'))
    await send('PUT', { ...record, arm: 'right' })
    await send('DELETE', undefined)
    await postJson(door.url, '/sources', { name: 'dale-app', title: 'Dale' }, as('operate'))
    const rows = await door.ports.store.auditPage({ limit: 500 })
    expect(rows.slice(-5).map(({ action, actor }) => [action, actor])).toEqual([
      ['session-received', `source:harbour-app#${id('harbour')}`],
      ['session-refused', `source:harbour-app#${id('harbour')}`],
      ['session-corrected', `source:harbour-app#${id('harbour')}`],
      ['session-withdrawn', `source:harbour-app#${id('harbour')}`],
      ['source-registered', `operator#${id('operate')}`],
    ])
  })

  it('opens nothing any more to a key that was revoked, from the next request on', async () => {
    const issued = await postJson(door.url, '/sources/meadow-app/keys', { label: 'old phone' }, as('operate'))
    const { key, id } = issued.json as { key: string; id: string }
    expect(issued.json).toMatchObject({ role: 'submit', source: 'meadow-app', label: 'old phone' })
    const send = (name: string) =>
      postJson(door.url, '/sessions', rawRecord({ id: name }), { Authorization: `Bearer ${key}` })
    expect((await send('before')).status).toBe(201)
    const revoked = await ask(door.url, `/keys/${id}`, { method: 'DELETE', headers: as('operate') })
    expect(revoked.json).toMatchObject({ id, label: 'old phone', revokedAt: '2026-03-20T12:00:00Z' })
    expectRefusal(await send('after'), 401, 'KEY_REQUIRED', 'header.Authorization')
    const rows = await door.ports.store.auditPage({ limit: 500 })
    expect(rows.at(-1)).toMatchObject({
      action: 'key-revoked',
      actor: expect.stringMatching(/^operator#[0-9a-f]{12}$/),
      about: 'meadow-app',
      detail: { key: id, role: 'submit' },
    })
    await ask(door.url, `/keys/${id}`, { method: 'DELETE', headers: as('operate') })
    expect(await door.ports.store.auditPage({ limit: 500 })).toHaveLength(rows.length)
    const unknown = await ask(door.url, '/keys/000000000000', { method: 'DELETE', headers: as('operate') })
    expectRefusal(unknown, 404, 'NOT_FOUND', 'path.id')
  })

  it('refuses a source for a key that is for all of them', async () => {
    expect(await issueKey({ role: 'read', source: 'harbour-app' }, 'operator', door.ports)).toMatchObject({
      ok: false,
      issues: [{ at: 'source', code: 'OUT_OF_RANGE' }],
    })
    const answer = await postJson(door.url, '/keys', { role: 'read', source: 'harbour-app' }, as('operate'))
    expect(answer.status).toBe(422)
  })

  it('serves a page of another origin that has a key, since there is nothing else to go by', async () => {
    const headers = { ...as('harbour'), Origin: 'https://elsewhere.example', Host: 'gateway.example' }
    expect((await postJson(door.url, '/sessions', rawRecord({ id: 'own-3' }), headers)).status).toBe(201)
  })
})

describe('access off', () => {
  it('does not lay it to a key that the request comes from elsewhere', async () => {
    const open = await openDoor()
    try {
      for (const headers of [{ Host: 'gateway.example' }, { Origin: 'https://elsewhere.example' }]) {
        const { status, json } = await ask(open.url, '/sources', { headers })
        expect([status, json]).toMatchObject([403, { code: 'NOT_ALLOWED' }])
        expect((json as { title: string }).title).toContain('or by where the request comes from')
      }
    } finally {
      await open.close()
    }
  })

  it('refuses to listen beyond loopback', async () => {
    await expect(openDoor({ settings: { listen: { host: '0.0.0.0', port: 0 } } })).rejects.toThrow(
      'Set access to "keys"',
    )
  })
})
