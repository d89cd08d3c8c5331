/** Periods as they are operated: found by what they are of, and opened, closed and withdrawn from the command line. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const LINK = {
  patient: { system: 'https://clinic.example/mrn', value: 'P-80' },
  zone: 'America/Denver',
  destination: 'clinic',
}

describe('periods over HTTP', () => {
  let door: OpenDoor
  const ids: string[] = []
  beforeAll(async () => {
    door = await openDoor()
    for (const place of ['harbour-app/HW-7', 'meadow-app/M-7']) {
      await ask(door.url, `/enrolments/${place}`, {
        method: 'PUT',
        headers: { 'Content-Type': 'application/json' },
        body: JSON.stringify({ ...LINK, patient: { ...LINK.patient, value: place } }),
      })
    }
    const asked = [
      ['harbour-app', 'HW-1042', 'nice-ng136-home'],
      ['harbour-app', 'HW-7', 'nice-ng136-home'],
      ['harbour-app', 'HW-7', 'fortnight-of-mornings'],
      ['meadow-app', 'M-7', 'nice-ng136-home'],
    ] as const
    for (const [source, subject, protocol] of asked) {
      const period = { source, subject, protocol, firstDay: '2026-03-02', days: 7 }
      ids.push(((await postJson(door.url, '/periods', period)).json as { id: string }).id)
    }
    await ask(door.url, `/periods/${ids[0]}/close`, { method: 'POST' })
    await ask(door.url, `/periods/${ids[3]}`, { method: 'DELETE' })
  })
  afterAll(() => door.close())

  it.each([
    ['', [0, 1, 2, 3]],
    ['source=harbour-app', [0, 1, 2]],
    ['subject=HW-7', [1, 2]],
    ['source=meadow-app&subject=HW-1042', undefined],
    ['state=open', [1, 2]],
    ['state=closed', [0]],
    ['state=withdrawn', [3]],
    ['protocol=nice-ng136-home', [0, 1, 3]],
    ['source=harbour-app&subject=HW-7&state=open&protocol=fortnight-of-mornings', [2]],
    ['source=harbour-app&state=withdrawn', []],
  ] as const)('are listed by %j', async (query, meant) => {
    const { status, json } = await ask(door.url, `/periods?${query}`)
    if (meant === undefined) return expect(json).toMatchObject({ status: 404, code: 'UNKNOWN_SUBJECT' })
    expect(status).toBe(200)
    const { items } = json as { items: { id: string }[] }
    expect(items.map(({ id }) => id)).toEqual(meant.map((one) => ids[one]).toSorted())
  })

  it('are paged within a filter, each once', async () => {
    const first = (await ask(door.url, '/periods?state=open&limit=1')).json as {
      items: { id: string }[]
      next: string
    }
    const second = await ask(door.url, `/periods?state=open&limit=1&cursor=${first.next}`)
    const { items } = second.json as typeof first
    expect([...first.items, ...items].map(({ id }) => id)).toEqual([ids[1], ids[2]].toSorted())
  })

  it.each([
    ['source=harbor-app', 404, 'UNKNOWN_SOURCE', 'query.source'],
    ['subject=HW-8', 404, 'UNKNOWN_SUBJECT', 'query.subject'],
    ['protocol=nice', 404, 'UNKNOWN_PROTOCOL', 'query.protocol'],
    ['state=running', 400, 'NOT_A_CHOICE', 'query.state'],
    ['state=open&state=closed', 400, 'WRONG_TYPE', 'query.state'],
  ])('by %s is refused, because an empty list would mislead', async (query, status, code, at) => {
    expect((await ask(door.url, `/periods?${query}`)).json).toMatchObject({
      status,
      issues: [{ code, at }],
    })
  })

  it('are listed under a protocol that is loaded no more', async () => {
    const { store } = door.ports
    const [period] = await store.periodPage({ limit: 1 })
    if (period === undefined) throw new Error('there is no period')
    const audit = {
      at: '',
      actor: 'operator',
      action: 'period-opened',
      about: '',
      outcome: 'done',
      detail: {},
    }
    const old = {
      ...period,
      id: '00000000-0000-5000-8000-000000000001',
      protocol: 'gone',
      state: 'open',
    } as const
    await store.openPeriod(old, audit as never)
    const { items } = (await ask(door.url, '/periods?protocol=gone')).json as { items: { id: string }[] }
    expect(items.map(({ id }) => id)).toEqual([old.id])
  })
})

describe('periods from the command line', () => {
  const folder = mkdtempSync(join(tmpdir(), 'periods-'))
  const settings = join(folder, 'gateway.json')
  beforeAll(async () => {
    const destinations = [{ name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir' }]
    const store = { file: join(folder, 'gateway.db') }
    writeFileSync(settings, JSON.stringify({ store, destinations, log: { level: 'silent' } }))
    await run('sources', 'add', 'harbour-app', '--title', 'Harbour')
    const link = ['--patient-system', LINK.patient.system, '--patient', 'P-80', '--zone', LINK.zone]
    await run('enrolments', 'set', 'harbour-app', 'HW-9', ...link, '--destination', 'clinic')
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function run(...words: string[]) {
    const at = recordedTerminal()
    const code = await runCommandLine([...words, '--settings', settings], at, openGateway, '0.0.0')
    return { code, output: at.output(), remarks: at.remarks() }
  }
  const open = (...words: string[]) =>
    run('periods', 'open', 'harbour-app', 'HW-9', '--protocol', 'nice-ng136-home', ...words)

  it('are opened, listed, closed and withdrawn', async () => {
    const opened = await open('--first-day', '2026-03-02', '--days', '4', '--json')
    expect(opened.code).toBe(0)
    const { id, ...period } = JSON.parse(opened.output)
    expect(period).toMatchObject({ state: 'open', lastDay: '2026-03-05', opened: true })
    const again = await open('--first-day', '2026-03-02', '--days', '4')
    expect([again.code, again.output]).toEqual([0, expect.stringContaining(`${id} is there already, open`)])

    const listed = await run(
      'periods',
      'list',
      '--source',
      'harbour-app',
      '--subject',
      'HW-9',
      '--state',
      'open',
    )
    expect(listed.output).toContain(id)
    expect(listed.output.split('\n').every((line) => line.length <= 112)).toBe(true)
    expect((await run('periods', 'list', '--state', 'closed')).output).toContain('no period')

    const closed = await run('periods', 'close', id)
    expect([closed.code, closed.output]).toEqual([0, expect.stringContaining('average 1 of it is queued')])
    expect(JSON.parse((await run('periods', 'close', id, '--json')).output)).toMatchObject({
      state: 'closed',
      closedNow: false,
      issuedNow: false,
    })
    const withdrawn = await run('periods', 'withdraw', id)
    expect([withdrawn.code, withdrawn.output]).toEqual([0, expect.stringContaining('1 clinic is told')])
    expect(JSON.parse((await run('periods', 'withdraw', id, '--json')).output)).toMatchObject({
      state: 'withdrawn',
      withdrawnNow: false,
      queued: 0,
    })
    const items = JSON.parse((await run('periods', 'list', '--state', 'withdrawn', '--json')).output)
    expect(items).toMatchObject({ items: [{ id, revision: 2, state: 'withdrawn' }] })
    const deliveries = JSON.parse((await run('deliveries', 'list', '--json')).output)
    expect(deliveries).toMatchObject({ items: [{ part: '1' }, { part: '2' }] })
  })

  it('say how to go on after a full page', async () => {
    await open('--first-day', '2026-04-01')
    const page = await run('periods', 'list', '--limit', '1', '--json')
    const [{ id }] = JSON.parse(page.output).items
    expect(page.remarks).toContain(`more with --after ${id}`)
    const next = await run('periods', 'list', '--limit', '1', '--after', id, '--json')
    expect(JSON.parse(next.output).items[0].id > id).toBe(true)
  })

  it.each([
    [
      'a day of another century',
      ['open', 'harbour-app', 'HW-9', '--first-day', '1800-01-01', '--protocol', 'nice-ng136-home'],
      1,
      'OUT_OF_RANGE',
    ],
    [
      'somebody who is not enrolled',
      ['open', 'harbour-app', 'HW-0', '--first-day', '2026-03-02'],
      1,
      'UNKNOWN_SUBJECT',
    ],
    ['closing what is not there', ['close', 'none'], 1, 'NOT_FOUND'],
    ['withdrawing what is not there', ['withdraw', 'none'], 1, 'NOT_FOUND'],
    ['a source that is not registered', ['list', '--source', 'harbor-app'], 1, 'UNKNOWN_SOURCE'],
    ['a subject that nobody knows', ['list', '--subject', 'HW-0'], 1, 'UNKNOWN_SUBJECT'],
    ['a protocol that nobody knows', ['list', '--protocol', 'nice'], 1, 'UNKNOWN_PROTOCOL'],
    ['no such state', ['list', '--state', 'running'], 2, '--state'],
    ['no first day', ['open', 'harbour-app', 'HW-9'], 2, '--first-day'],
  ])('are told what is wrong with %s', async (_, words, code, told) => {
    const refused = await run('periods', ...words)
    expect([refused.code, refused.remarks]).toEqual([code, expect.stringContaining(told)])
    if (code === 2) return
    const asJson = await run('periods', ...words, '--json')
    expect(JSON.parse(asJson.output)).toMatchObject({ issues: [{ code: told }] })
  })
})
