import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Answer, ask, linesOf, postJson } from '../support/ask.ts'
import { held, type OpenDoor, openDoor } from '../support/open-door.ts'
import { type RawRecord, rawReading, rawRecord, without } from '../support/raw-record.ts'

const SESSIONS = '/sessions?source=harbour-app'

describe('a session that was sent', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  const placeOf = (id: string, part = '') => `/sessions/${encodeURIComponent(id)}${part}?source=harbour-app`
  const put = (id: string, value: unknown, headers = {}): Promise<Answer> =>
    ask(door.url, placeOf(id), {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json', ...headers },
      body: typeof value === 'string' ? value : JSON.stringify(value),
    })
  const withdraw = (id: string) => ask(door.url, placeOf(id), { method: 'DELETE' })
  const send = (record: RawRecord) => postJson(door.url, SESSIONS, record)
  const versions = async (id: string) =>
    ((await ask(door.url, placeOf(id, '/versions'))).json as { items: Record<string, unknown>[] }).items

  it('is corrected with a receipt of the next version, and every version can be read', async () => {
    const first = await send(rawRecord({ id: 'a/b' }))
    expect(first.json).toMatchObject({ version: 1, withdrawn: false })
    const corrected = await put('a/b', rawRecord({ id: 'a/b', arm: 'right' }))
    expect(corrected.status).toBe(200)
    expect(corrected.json).toMatchObject({
      outcome: 'corrected',
      session: (first.json as { session: string }).session,
      version: 2,
      withdrawn: false,
    })
    expect((await ask(door.url, placeOf('a/b'))).json).toMatchObject({ version: 2, record: { arm: 'right' } })
    expect(await versions('a/b')).toMatchObject([
      { version: 1, withdrawn: false, record: { arm: 'left' } },
      { version: 2, withdrawn: false, record: { arm: 'right' } },
    ])
  })

  it('may state in a correction what the source had not stated before', async () => {
    const bare = without(
      'arm',
      without('site', without('position', rawRecord({ id: 'bare', readings: [rawReading()] }))),
    )
    expect((await send(bare)).json).toMatchObject({ version: 1, findings: [] })
    const stated = { ...bare, arm: 'right', site: 'wrist', position: 'standing' }
    const corrected = await put('bare', stated)
    expect(corrected.json).toMatchObject({
      outcome: 'corrected',
      version: 2,
      findings: [{ code: 'not-seated' }, { code: 'wrist-site' }],
    })
    expect((await versions('bare')).map(({ record }) => record)).toEqual([bare, stated])
  })

  it('gives the same receipt for the same correction again, whatever its spacing, and keeps it once', async () => {
    await send(rawRecord({ id: 'twice' }))
    const record = rawRecord({ id: 'twice', arm: 'right' })
    const first = await put('twice', record)
    const before = await held(door.ports.store)
    const again = await put('twice', JSON.stringify(record, null, 2))
    expect(again.status).toBe(200)
    expect(again.json).toEqual({ ...(first.json as object), outcome: 'same' })
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('is kept when nothing had been sent under the id', async () => {
    const kept = await put('new', rawRecord({ id: 'new' }))
    expect(kept.status).toBe(201)
    expect(kept.headers.location).toBe('/sessions/new?source=harbour-app')
    expect(kept.json).toMatchObject({ outcome: 'kept', version: 1 })
    expect((await send(rawRecord({ id: 'new' }))).json).toMatchObject({ outcome: 'same', version: 1 })
  })

  it('is queued for the clinic again, once for each version', async () => {
    const { json } = await send(rawRecord({ id: 'queued' }))
    await put('queued', rawRecord({ id: 'queued', arm: 'right' }))
    await withdraw('queued')
    await withdraw('queued')
    const entries = await door.ports.store.deliveryPage({ limit: 200 })
    expect(entries.filter(({ about }) => about === (json as { session: string }).session)).toHaveLength(3)
  })

  it('is withdrawn with a receipt, the same when asked again, and what it said stays readable', async () => {
    await send(rawRecord({ id: 'gone' }))
    const first = await withdraw('gone')
    expect(first.status).toBe(200)
    expect(first.json).toMatchObject({ outcome: 'withdrawn', version: 2, withdrawn: true, findings: [] })
    const before = await held(door.ports.store)
    expect((await withdraw('gone')).json).toEqual(first.json)
    expect(await held(door.ports.store)).toEqual(before)
    expect((await ask(door.url, placeOf('gone'))).json).toMatchObject({
      version: 2,
      withdrawn: true,
      record: { id: 'gone' },
    })
  })

  it('leaves a row in the trail for each change, by source and session, without a value of it', async () => {
    await send(rawRecord({ id: 'trail' }))
    const { json } = await put(
      'trail',
      rawRecord({ id: 'trail', readings: [{ ...rawReading(), systolic: 173 }] }),
    )
    await withdraw('trail')
    await put('trail', rawRecord({ id: 'trail' }))
    const rows = await door.ports.store.auditPage({ limit: 200 })
    expect(rows.slice(-3)).toMatchObject([
      { actor: 'source:harbour-app', action: 'session-corrected', outcome: 'done' },
      { action: 'session-withdrawn', about: (json as { session: string }).session, outcome: 'done' },
      { action: 'session-refused', outcome: 'refused', detail: { records: 1, codes: 'SESSION_WITHDRAWN' } },
    ])
    expect(JSON.stringify(rows)).not.toMatch(/\b173\b|"trail"/)
  })

  describe('refuses', () => {
    beforeAll(async () => {
      await send(rawRecord({ id: 'held' }))
      await send(rawRecord({ id: 'withdrawn' }))
      await withdraw('withdrawn')
    })

    it.each([
      ['a record of another id', 'held', rawRecord({ id: 'other' }), 422, 'OTHER_ID', 'id'],
      [
        'another subject',
        'held',
        rawRecord({ id: 'held', subject: 'HW-9' }),
        409,
        'OTHER_SUBJECT',
        'subject',
      ],
      [
        'a correction of what was withdrawn',
        'withdrawn',
        rawRecord({ id: 'withdrawn' }),
        409,
        'SESSION_WITHDRAWN',
        'id',
      ],
      [
        'a record that cannot be read',
        'held',
        rawRecord({ id: 'held', arm: 'third' }),
        422,
        'NOT_A_CHOICE',
        'arm',
      ],
      ['a body that is not JSON', 'held', '{"id":', 400, 'NOT_JSON', 'column 7'],
      ['an array', 'held', [rawRecord({ id: 'held' })], 422, 'WRONG_TYPE', ''],
    ])('%s, and keeps nothing', async (_, id, value, status, code, at) => {
      const before = await held(door.ports.store)
      const answer = await put(id, value)
      expect(answer.status).toBe(status)
      expect(answer.headers['content-type']).toMatch(/^application\/problem\+json/)
      expect(answer.json).toMatchObject({ code, issues: [{ at }] })
      expect(await held(door.ports.store)).toEqual(before)
    })

    it('another media type, and a source that is not named', async () => {
      const record = rawRecord({ id: 'held' })
      const stream = await put('held', record, { 'Content-Type': 'application/x-ndjson' })
      expect(stream.json).toMatchObject({ status: 415, issues: [{ at: 'header.Content-Type' }] })
      const unnamed = await ask(door.url, '/sessions/held', { method: 'DELETE' })
      expect(unnamed.json).toMatchObject({ status: 400, issues: [{ at: 'query.source' }] })
    })

    it('to withdraw what was never sent, and to show its versions', async () => {
      for (const answer of [
        await withdraw('unheard'),
        await ask(door.url, placeOf('unheard', '/versions')),
      ]) {
        expect(answer.json).toMatchObject({ status: 404, code: 'NOT_FOUND', issues: [{ at: 'path.id' }] })
      }
    })

    it('to take a withdrawn session again as a new one, alone and in a stream', async () => {
      const changed = rawRecord({ id: 'withdrawn', arm: 'right' })
      expect((await send(changed)).json).toMatchObject({ status: 409, code: 'SESSION_WITHDRAWN' })
      const streamed = await ask(door.url, SESSIONS, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-ndjson' },
        body: JSON.stringify(changed),
      })
      expect(linesOf(streamed)[0]).toMatchObject({ outcome: 'refused', code: 'SESSION_WITHDRAWN', line: 1 })
    })
  })
})

describe('the averages of a period over HTTP', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  const get = (path: string) => ask(door.url, path)

  it('are each readable with the one before and the one that follows', async () => {
    await postJson(door.url, SESSIONS, rawRecord({ id: 'm-1' }))
    const opened = await postJson(door.url, '/periods', {
      source: 'harbour-app',
      subject: 'HW-1042',
      protocol: 'fortnight-of-mornings',
      firstDay: '2026-03-02',
    })
    const place = String(opened.headers.location)
    const { id } = opened.json as { id: string }
    expect((await get(`${place}/averages`)).json).toMatchObject({ status: 409, code: 'NOT_YET' })
    const close = () => ask(door.url, `${place}/close`, { method: 'POST' })
    expect((await close()).json).toMatchObject({ revision: 1, closedNow: true, issuedNow: true })
    const first = await get(`${place}/average`)
    expect(first.json).toMatchObject({
      revision: 1,
      status: 'final',
      protocol: { id: 'fortnight-of-mornings' },
    })
    const firstBundle = await get(`${place}/bundle`)

    await ask(door.url, '/sessions/m-1?source=harbour-app', { method: 'DELETE' })
    const audit = {
      at: '',
      actor: '',
      action: 'period-reopened',
      about: id,
      outcome: 'done',
      detail: {},
    } as const
    await door.ports.store.reopenPeriod(id, 0, audit)
    expect((await close()).json).toMatchObject({ revision: 2, closedNow: true, issuedNow: true })

    expect((await get(`${place}/average`)).json).toMatchObject({
      revision: 2,
      status: 'amended',
      previous: `${place}/averages/1`,
      readings: { used: 0 },
    })
    const [destination, issued] = ['clinic', '2026-03-20T12:00:00Z']
    expect((await get(`${place}/averages`)).json).toEqual({
      items: [
        { revision: 1, destination, issued, status: 'final', successor: `${place}/averages/2` },
        { revision: 2, destination, issued, status: 'amended', previous: `${place}/averages/1` },
      ],
    })
    expect((await get(`${place}/averages/1`)).json).toEqual({
      ...(first.json as object),
      successor: `${place}/averages/2`,
    })
    expect((await get(`${place}/averages/1/bundle`)).text).toBe(firstBundle.text)
    expect((await get(`${place}/averages/2/bundle`)).text).toBe((await get(`${place}/bundle`)).text)
    for (const revision of ['0', '3', '01', 'x']) {
      expect((await get(`${place}/averages/${revision}`)).json).toMatchObject({
        status: 404,
        issues: [{ at: 'path.revision' }],
      })
    }
    await door.ports.store.reopenPeriod(id, 0, audit)
    expect((await close()).json).toMatchObject({ revision: 2, closedNow: true, issuedNow: false })
  })
})
