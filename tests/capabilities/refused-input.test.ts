import { connect } from 'node:net'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { ERROR_CODES } from '../../src/core/basics/error-codes.ts'
import { REFUSED_FHIR_REQUESTS, REFUSED_REQUESTS } from '../fixtures/refused-requests.ts'
import { ask, linesOf, postJson } from '../support/ask.ts'
import { held, type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'
import { secondOpinion } from '../support/second-opinion.ts'

describe('refused input', () => {
  let door: OpenDoor
  let before: unknown

  beforeAll(async () => {
    door = await openDoor({
      settings: { limits: { bodyBytes: 4_096, resourceBytes: 4_096, recordsPerArray: 3, lineBytes: 1_024 } },
    })
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ id: 's-1' }))
    await postJson(door.url, '/periods', {
      source: 'harbour-app',
      subject: 'HW-1042',
      protocol: 'fortnight-of-mornings',
      firstDay: '2026-03-02',
    })
    before = await held(door.ports.store)
    expect(before).toMatchObject({ figures: { sessions: 1, periods: 1 } })
  })
  afterAll(() => door.close())

  it('counts enough cases', () => {
    expect(REFUSED_REQUESTS.length + REFUSED_FHIR_REQUESTS.length).toBeGreaterThanOrEqual(45)
  })

  it.each(REFUSED_REQUESTS)('refuses $title, says where, and changes nothing', async (refused) => {
    const answer = await ask(door.url, refused.path, refused.asked)

    expect(answer.status).toBe(refused.status)
    expect(answer.headers['content-type']).toBe('application/problem+json; charset=utf-8')
    expect(answer.headers['cache-control']).toBe('no-store')
    expect(answer.json).toMatchObject({
      type: `https://home-bp-gateway.example/fhir/problems/${refused.code}`,
      title: ERROR_CODES[refused.code][0],
      status: refused.status,
      code: refused.code,
    })
    expect(answer.json).toHaveProperty('issues.0.code', refused.code)
    expect(answer.json).toHaveProperty('issues.0.at', refused.at)
    expect(answer.json).toHaveProperty('issues.0.expected', expect.stringMatching(/\S/))
    expect(answer.json).toHaveProperty('issues.0.remedy', expect.stringMatching(/\.$/))
    expect(answer.headers).toMatchObject(refused.headers ?? {})
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('says of a cursor that no answer gave where answers have theirs', async () => {
    const { json } = await ask(door.url, '/audit?cursor=%27--')
    expect(json).toHaveProperty('issues.0.remedy', 'Send next of the page before, or begin without a cursor.')
    expect((await ask(door.url, '/audit?limit=1')).json).toHaveProperty('next', expect.stringMatching(/./))
  })

  it.each(REFUSED_FHIR_REQUESTS)('refuses $title under /fhir with an OperationOutcome', async (refused) => {
    const answer = await ask(door.url, refused.path, refused.asked)

    expect(answer.status).toBe(refused.status)
    expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
    expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
    expect(answer.json).toHaveProperty('issue.0.details.coding.0.code', refused.code)
    expect(answer.text).toContain(refused.at)
    expect(secondOpinion(answer.json)).toEqual([])
    expect(answer.headers).toMatchObject(refused.headers ?? {})
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('tells all issues of a record at once', async () => {
    const answer = await postJson(
      door.url,
      '/sessions?source=harbour-app',
      rawRecord({ arm: 'third', site: 'ankle', subject: undefined }),
    )
    const problem = answer.json as { issues: { at: string }[]; detail: string }
    expect(problem.issues.map((issue) => issue.at).sort()).toEqual(['arm', 'site', 'subject'])
    expect(problem.detail).toContain('And 2 more')
  })

  it('refuses each bad line of a stream by its number and goes on', async () => {
    const good = rawRecord({ id: 's-1' })
    const lines = [
      JSON.stringify(good),
      'not JSON',
      '',
      JSON.stringify({ ...good, extra: 1 }),
      `{"note":"${'x'.repeat(2_000)}"}`,
      JSON.stringify({ ...good, arm: 'right' }),
      JSON.stringify(good).slice(0, 50),
    ]
    const answer = await ask(door.url, '/sessions?source=harbour-app', {
      method: 'POST',
      headers: { 'Content-Type': 'application/x-ndjson' },
      body: lines.join('\n'),
    })
    expect(answer.status).toBe(200)
    expect(linesOf(answer)).toMatchObject([
      { line: 1, outcome: 'same' },
      { line: 2, outcome: 'refused', code: 'NOT_JSON', issues: [{ line: 2 }] },
      { line: 4, outcome: 'refused', code: 'UNKNOWN_KEY', issues: [{ line: 4, at: 'extra' }] },
      { line: 5, outcome: 'refused', code: 'TOO_LARGE', issues: [{ line: 5, at: '' }] },
      { line: 6, outcome: 'refused', code: 'SAME_ID_OTHER_CONTENT', issues: [{ line: 6, at: 'id' }] },
      { line: 7, outcome: 'refused', code: 'NOT_JSON', issues: [{ line: 7 }] },
      { summary: { received: 6, kept: 0, same: 1, corrected: 0, withdrawn: 0, refused: 5, skipped: 0 } },
    ])
    expect(await held(door.ports.store)).toEqual(before)
  })

  it('answers what is not HTTP with a problem', async () => {
    const text = await new Promise<string>((resolve, reject) => {
      const socket = connect(Number(new URL(door.url).port), '127.0.0.1', () => socket.write('HELLO\r\n\r\n'))
      let received = ''
      socket.on('data', (chunk) => {
        received += chunk.toString()
      })
      socket.on('end', () => resolve(received))
      socket.on('error', reject)
    })
    expect(text).toMatch(/^HTTP\/1\.1 400 Bad Request\r\nContent-Type: application\/problem\+json/)
    expect(text).toContain('"code":"WRONG_TYPE"')
  })

  it('records refusals in the audit trail, without what was refused', async () => {
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ id: 'canary-9', arm: 'canary-arm' }))
    const rows = await door.ports.store.auditPage({ limit: 1_000 })
    expect(rows.at(-1)).toMatchObject({
      actor: 'source:harbour-app',
      action: 'session-refused',
      outcome: 'refused',
      detail: { records: 1, codes: 'NOT_A_CHOICE' },
    })
    expect(JSON.stringify(rows)).not.toContain('canary')
    expect(JSON.stringify(door.log.lines)).not.toContain('canary')
  })
})
