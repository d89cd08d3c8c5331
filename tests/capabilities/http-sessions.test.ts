import { type IncomingMessage, request } from 'node:http'
import { gzipSync } from 'node:zlib'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ask, linesOf, postJson } from '../support/ask.ts'
import { held, type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'

const SESSIONS = '/sessions?source=harbour-app'

describe('sending sessions', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  it('answers a new session with a receipt and its place', async () => {
    const answer = await postJson(door.url, SESSIONS, rawRecord({ id: 'a b' }))
    expect(answer.status).toBe(201)
    expect(answer.headers['content-type']).toBe('application/json; charset=utf-8')
    expect(answer.headers.location).toBe('/sessions/a%20b?source=harbour-app')
    expect(answer.json).toMatchObject({
      outcome: 'kept',
      id: 'a b',
      source: 'harbour-app',
      enrolled: true,
      receivedAt: '2026-03-20T12:00:00Z',
      sha256: expect.stringMatching(/^[0-9a-f]{64}$/),
    })
    expect((await ask(door.url, String(answer.headers.location))).json).toMatchObject({ id: 'a b' })
  })

  it('answers the same session again with the same receipt, and keeps it once', async () => {
    const first = await postJson(door.url, SESSIONS, rawRecord({ id: 'again' }))
    const before = await held(door.ports.store)
    const second = await postJson(door.url, SESSIONS, JSON.stringify(rawRecord({ id: 'again' }), null, 2))
    expect(second.status).toBe(200)
    expect(second.headers.location).toBeUndefined()
    expect(second.json).toEqual({ ...(first.json as object), outcome: 'same' })
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('corrects what an id holds only when that is asked for, one by one and in a stream', async () => {
    const changed = `${SESSIONS}&changed=corrects`
    await postJson(door.url, SESSIONS, rawRecord({ id: 'changed' }))
    const other = rawRecord({ id: 'changed', arm: 'right' })
    expect((await postJson(door.url, SESSIONS, other)).json).toMatchObject({ code: 'SAME_ID_OTHER_CONTENT' })
    expect((await postJson(door.url, changed, other)).json).toMatchObject({
      outcome: 'corrected',
      version: 2,
    })
    const stream = await ask(door.url, changed, {
      method: 'POST',
      headers: { 'Content-Type': 'application/x-ndjson' },
      body: JSON.stringify(rawRecord({ id: 'changed', arm: 'left', position: 'standing' })),
    })
    expect(linesOf(stream)).toMatchObject([
      { line: 1, outcome: 'corrected', version: 3 },
      { summary: { corrected: 1 } },
    ])
  })

  it('gives a session back as it was written, to the digit', async () => {
    const text = JSON.stringify(rawRecord({ id: 'digits' })).replace('"systolic":141', '"systolic": 141.0')
    await postJson(door.url, SESSIONS, text)
    const answer = await ask(door.url, '/sessions/digits?source=harbour-app')
    expect(answer.text).toContain(`"record":${text}}`)
    expect(answer.json).toHaveProperty('record.readings.0.systolic', 141)
  })

  it('takes an array and tells of each record in order', async () => {
    const answer = await postJson(door.url, SESSIONS, [
      rawRecord({ id: 'array-1' }),
      rawRecord({ id: 'array-2', arm: 'third' }),
      rawRecord({ id: 'array-1' }),
      rawRecord({ id: 'array-1', arm: 'right' }),
    ])
    expect(answer.status).toBe(207)
    expect(answer.json).toMatchObject({
      results: [
        { outcome: 'kept', id: 'array-1' },
        { outcome: 'refused', code: 'NOT_A_CHOICE', issues: [{ at: 'arm' }] },
        { outcome: 'same', id: 'array-1' },
        { outcome: 'refused', code: 'SAME_ID_OTHER_CONTENT', issues: [{ at: 'id' }] },
      ],
      summary: { received: 4, kept: 1, same: 1, refused: 2 },
    })
  })

  it('answers an array 201 when all is new, 200 when all is known, 422 when all is refused', async () => {
    const records = [rawRecord({ id: 'all-1' }), rawRecord({ id: 'all-2' })]
    expect((await postJson(door.url, SESSIONS, records)).status).toBe(201)
    expect((await postJson(door.url, SESSIONS, records)).status).toBe(200)
    const refused = await postJson(door.url, SESSIONS, [{ ...records[0], id: 5 }, 7])
    expect(refused.status).toBe(422)
    expect(refused.json).toMatchObject({
      issues: [{ at: '[0].id' }, { at: '[1]' }],
      summary: { received: 2, refused: 2 },
    })
  })

  it('takes a gzipped body and one with a byte order mark', async () => {
    const zipped = await ask(door.url, SESSIONS, {
      method: 'POST',
      headers: { 'Content-Type': 'application/json; charset="UTF-8"', 'Content-Encoding': 'gzip' },
      body: gzipSync(JSON.stringify(rawRecord({ id: 'zipped' }))),
    })
    expect(zipped.status).toBe(201)
    const marked = await postJson(
      door.url,
      SESSIONS,
      `\uFEFF${JSON.stringify([rawRecord({ id: 'marked' })])}`,
    )
    expect(marked.status).toBe(201)
  })

  it('streams back every receipt when asked for all, and only refusals when asked for less', async () => {
    const lines = Array.from({ length: 1_203 }, (_, index) =>
      JSON.stringify(rawRecord({ id: `line-${index}` })),
    )
    lines[700] = '{}'
    const stream = (prefer: string) =>
      ask(door.url, SESSIONS, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-ndjson', Prefer: prefer },
        body: `${lines.join('\n')}\n`,
      })
    const all = linesOf(await stream('return=representation'))
    expect(all.slice(0, -1).map((line) => line.line)).toEqual(lines.map((_, index) => index + 1))
    expect(
      all
        .slice(0, -1)
        .map((line) => line.id)
        .slice(0, 3),
    ).toEqual(['line-0', 'line-1', 'line-2'])
    expect(all.at(-1)).toEqual({
      summary: { received: 1_203, kept: 1_202, same: 0, corrected: 0, withdrawn: 0, refused: 1, skipped: 0 },
    })

    const less = linesOf(await stream('respond-async, return=minimal'))
    expect(less).toMatchObject([
      { line: 701, outcome: 'refused' },
      {
        summary: {
          received: 1_203,
          kept: 0,
          same: 1_202,
          corrected: 0,
          withdrawn: 0,
          refused: 1,
          skipped: 0,
        },
      },
    ])
  })

  it('answers a line before the next is sent', async () => {
    const { hostname, port } = new URL(door.url)
    const headers = { 'Content-Type': 'application/x-ndjson' }
    const sending = request({ hostname, port, path: SESSIONS, method: 'POST', headers, agent: false })
    sending.write(`${JSON.stringify(rawRecord({ id: 'slow-1' }))}\n`)
    const answer = await new Promise<IncomingMessage>((resolve) => sending.once('response', resolve))
    const parts = answer[Symbol.asyncIterator]()
    expect(String((await parts.next()).value)).toContain('"id":"slow-1"')
    sending.end(JSON.stringify(rawRecord({ id: 'slow-2' })))
    let rest = ''
    for (let part = await parts.next(); part.done !== true; part = await parts.next())
      rest += String(part.value)
    expect(rest).toContain('"line":2,"outcome":"kept"')
    expect(rest).toContain('"summary":{"received":2,"kept":2,')
  })

  it('answers an empty stream with an empty summary', async () => {
    const answer = await ask(door.url, SESSIONS, {
      method: 'POST',
      headers: { 'Content-Type': 'application/x-ndjson' },
      body: '\n\n',
    })
    expect(linesOf(answer)).toEqual([
      { summary: { received: 0, kept: 0, same: 0, corrected: 0, withdrawn: 0, refused: 0, skipped: 0 } },
    ])
  })
})

describe('sending sessions when something fails', () => {
  it('ends a stream with a problem instead of a summary when the store fails midway', async () => {
    let calls = 0
    const door = await openDoor({
      around: (store) => ({
        ...store,
        accept: (records) => {
          calls += 1
          return calls === 1 ? store.accept(records) : Promise.reject(new Error('disk of HW-1042 is full'))
        },
      }),
    })
    try {
      const lines = Array.from({ length: 1_100 }, (_, index) =>
        JSON.stringify(rawRecord({ id: `line-${index}` })),
      )
      const answer = await ask(door.url, SESSIONS, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-ndjson' },
        body: lines.join('\n'),
      })
      const told = linesOf(answer)
      const { sessions } = await door.ports.store.figures()
      expect(told.at(-1)).toMatchObject({
        problem: { code: 'UNEXPECTED', status: 500 },
        soFar: { received: sessions, kept: sessions },
      })
      expect(told).toHaveLength(sessions + 1)
      expect(sessions).toBeGreaterThan(0)
      expect(sessions).toBeLessThan(lines.length)
      expect(answer.text).not.toContain('disk of')
    } finally {
      await door.close()
    }
  })

  it('answers an unexpected failure with an incident id that the log has too, and nothing of its message', async () => {
    const door = await openDoor({
      around: (store) => ({ ...store, accept: () => Promise.reject(new TypeError('HW-1042 has 141/88')) }),
    })
    try {
      const answer = await postJson(door.url, SESSIONS, rawRecord())
      expect(answer.status).toBe(500)
      expect(answer.json).toMatchObject({ code: 'UNEXPECTED', status: 500 })
      const incident = String(answer.headers['x-incident-id'])
      expect(answer.json).toHaveProperty('instance', `urn:uuid:${incident}`)
      expect(door.log.lines).toMatchObject([
        {
          level: 'error',
          event: 'request-failed',
          fields: { incident, code: 'UNEXPECTED', error: 'TypeError' },
        },
      ])
      expect(door.log.lines[0]?.fields?.place).toMatch(/^http-sessions\.test\.ts:\d+$/)
      // The incident is a random number, which may have any three digits in it.
      const told = (answer.text + JSON.stringify(door.log.lines)).replaceAll(incident, '')
      expect(told).not.toMatch(/HW-1042|141/)
    } finally {
      await door.close()
    }
  })

  it('refuses a stream with more lines than allowed after answering those before', async () => {
    const door = await openDoor({ settings: { limits: { linesPerStream: 2 } } })
    try {
      const answer = await ask(door.url, SESSIONS, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-ndjson' },
        body: '{}\n{}\n{}\n',
      })
      expect(linesOf(answer)).toMatchObject([
        { line: 1, outcome: 'refused' },
        { line: 2, outcome: 'refused' },
        { problem: { code: 'TOO_MANY', status: 413 }, soFar: { received: 2, refused: 2 } },
      ])
    } finally {
      await door.close()
    }
  })

  it('counts blank lines among them: compressed, a few bytes hold very many', async () => {
    const door = await openDoor({ settings: { limits: { linesPerStream: 1_000 } } })
    try {
      const answer = await ask(door.url, SESSIONS, {
        method: 'POST',
        headers: { 'Content-Type': 'application/x-ndjson', 'Content-Encoding': 'gzip' },
        body: gzipSync(`{}${'\n'.repeat(1_001)}`),
      })
      expect(linesOf(answer)).toMatchObject([
        { line: 1, outcome: 'refused' },
        { problem: { code: 'TOO_MANY', status: 413 }, soFar: { received: 1 } },
      ])
    } finally {
      await door.close()
    }
  })

  it('keeps what a client was told is kept when the client goes away midway', async () => {
    const door = await openDoor()
    try {
      const { hostname, port } = new URL(door.url)
      const headers = { 'Content-Type': 'application/x-ndjson' }
      const sending = request({ hostname, port, path: SESSIONS, method: 'POST', headers, agent: false })
      const lines = Array.from({ length: 1_600 }, (_, index) =>
        JSON.stringify(rawRecord({ id: `gone-${index}` })),
      )
      sending.write(`${lines.join('\n')}\n`)
      const answer = await new Promise<IncomingMessage>((resolve) => sending.once('response', resolve))
      const told = await new Promise<string>((resolve) =>
        answer.once('data', (chunk) => resolve(String(chunk))),
      )
      const gone = new Promise<void>((resolve) => {
        answer.once('error', () => resolve())
        sending.once('close', () => resolve())
      })
      sending.destroy()
      await gone

      expect(told).toContain('"id":"gone-0"')
      expect((await ask(door.url, '/sessions/gone-0?source=harbour-app')).status).toBe(200)
      expect((await ask(door.url, '/health/ready')).status).toBe(200)
    } finally {
      await door.close()
    }
  })
})
