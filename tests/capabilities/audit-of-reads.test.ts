/** Whoever is shown people's data leaves a row in the audit trail, before it is shown. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import type { AuditRow } from '../../src/core/audit/audit-entry.ts'
import { StoreFailed } from '../../src/core/basics/gateway-error.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { issueKey } from '../../src/flow/register/access-keys.ts'
import { enrol } from '../../src/flow/register/enrol-subject.ts'
import { openGateway } from '../../src/gateway.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { readSettings } from '../../src/shell/config/reading/read-settings.ts'
import { openApiDocument } from '../../src/shell/http/openapi/document.ts'
import { type ApiDescription, operationsOf } from '../support/api-description.ts'
import { ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

/** By operation: what is asked for, with the names of what is there, and the row it leaves. */
const SHOWING = {
  readSession: ['/sessions/r-1?source=harbour-app', { what: 'session' }, 'session'],
  listVersions: ['/sessions/r-1/versions?source=harbour-app', { what: 'session-versions' }, 'session'],
  readAverage: ['/periods/:period/average', { what: 'average' }, 'period'],
  readBundle: ['/periods/:period/bundle', { what: 'average-bundle' }, 'period'],
  readIssuedAverage: ['/periods/:period/averages/1', { what: 'average', revision: 1 }, 'period'],
  readIssuedBundle: ['/periods/:period/averages/1/bundle', { what: 'average-bundle', revision: 1 }, 'period'],
  comparePeriod: ['/periods/:period/comparison', { what: 'comparison' }, 'period'],
  sweepAverages: [
    '/averages?protocol=nice-ng136-home&firstDay=2026-03-02',
    { what: 'averages-of-all' },
    'nobody in particular',
  ],
  readDelivery: ['/deliveries/1', { what: 'delivery' }, 'delivery'],
  previewDelivery: ['/deliveries/1/preview', { what: 'delivery-preview' }, 'delivery'],
  readEnrolment: ['/enrolments/harbour-app/HW-1042', { what: 'enrolment' }, 'source'],
  listEnrolments: ['/enrolments?source=harbour-app', { what: 'enrolments', count: 1 }, 'source'],
} as const

/** What is read under keys and says nothing of any person: ids, states, names of sources, figures, what was done. */
const SAYING_NOTHING = [
  ...['listSources', 'readSource', 'listWaiting', 'listKeys', 'listMappings', 'listProtocols'],
  ...['listPeriods', 'readPeriod', 'listAverages', 'listDeliveries', 'listDestinations'],
  ...['readAudit', 'verifyAudit', 'readMetrics'],
]

describe('what is shown over HTTP', () => {
  let door: OpenDoor
  let authorization: { readonly Authorization: string }
  let isFull = false
  const ids: Record<string, string> = { delivery: '1', source: 'harbour-app', 'nobody in particular': '' }
  beforeAll(async () => {
    const full = () => Promise.reject(new StoreFailed('the disk is full'))
    door = await openDoor({
      settings: { access: 'keys' },
      around: (store) => ({
        ...store,
        recordAudit: (audit) => (isFull ? full() : store.recordAudit(audit)),
      }),
    })
    const issued = await issueKey({ role: 'operate' }, 'operator', door.ports)
    const submit = await issueKey({ role: 'submit', source: 'harbour-app' }, 'operator', door.ports)
    if (!issued.ok || !submit.ok) throw new Error('no key')
    authorization = { Authorization: `Bearer ${issued.value.key}` }
    const own = { Authorization: `Bearer ${submit.value.key}` }
    const received = await postJson(door.url, '/sessions', rawRecord({ id: 'r-1' }), own)
    ids.session = (received.json as { session: string }).session
    const asked = { source: 'harbour-app', subject: 'HW-1042', protocol: 'nice-ng136-home' }
    const days = { firstDay: '2026-03-02', days: 7 }
    const opened = await postJson(door.url, '/periods', { ...asked, ...days }, authorization)
    ids.period = (opened.json as { id: string }).id
    await ask(door.url, `/periods/${ids.period}/close`, { method: 'POST', headers: authorization })
  })
  afterAll(() => door.close())

  async function read(
    path: string,
  ): Promise<{ readonly status: number; readonly rows: readonly AuditRow[] }> {
    const before = await door.ports.store.auditPage({ limit: 1000 })
    const { status } = await ask(door.url, path.replace(':period', ids.period ?? ''), {
      headers: authorization,
    })
    const rows = await door.ports.store.auditPage({ limit: 1000 })
    return { status, rows: rows.slice(before.length) }
  }

  it.each(Object.entries(SHOWING))('leaves a row: %s', async (_, [path, detail, about]) => {
    const { status, rows } = await read(path)
    expect(status).toBe(200)
    expect(rows).toMatchObject([
      {
        action: 'record-read',
        outcome: 'done',
        about: ids[about],
        detail,
        actor: expect.stringMatching(/^operator#/),
      },
    ])
  })

  it.each(Object.entries(SHOWING))('is not shown where no row can be kept: %s', async (_, [path]) => {
    isFull = true
    const { status, rows } = await read(path)
    isFull = false
    expect([status, rows]).toEqual([503, []])
  })

  it('is found by what it was shown of, and by whom', async () => {
    const audit = await issueKey({ role: 'audit' }, 'operator', door.ports)
    if (!audit.ok) throw new Error('no key')
    const headers = { Authorization: `Bearer ${audit.value.key}` }
    await read('/sessions/r-1?source=harbour-app')
    const query = `action=record-read&about=${ids.session}&actor=operator`
    const { json } = await ask(door.url, `/audit?${query}`, { headers })
    const { items } = json as { items: AuditRow[] }
    expect(items.length).toBeGreaterThan(0)
    for (const one of items) expect(one).toMatchObject({ action: 'record-read', about: ids.session })
    const refused = await ask(door.url, '/audit?action=looked', { headers })
    expect(refused.json).toMatchObject({
      status: 400,
      issues: [{ code: 'NOT_A_CHOICE', at: 'query.action' }],
    })
  })

  it('leaves no row where nothing is there to be shown', async () => {
    for (const path of [
      '/sessions/r-9?source=harbour-app',
      '/deliveries/99',
      '/enrolments/harbour-app/HW-9',
    ]) {
      expect(await read(path)).toEqual({ status: 404, rows: [] })
    }
  })

  it('is settled for every route that is read under a key', () => {
    const api = openApiDocument('https://gateway.example') as unknown as ApiDescription
    const read = operationsOf(api).filter(({ method, security }) => method === 'get' && security.length > 0)
    expect(read.map(({ operationId }) => operationId).toSorted()).toEqual(
      [...Object.keys(SHOWING), ...SAYING_NOTHING].toSorted(),
    )
  })
})

describe('the command line', () => {
  const folder = mkdtempSync(join(tmpdir(), 'reads-'))
  const settings = join(folder, 'gateway.json')
  beforeAll(async () => {
    const written = {
      store: { file: join(folder, 'gateway.db') },
      log: { level: 'silent' },
      sources: [{ name: 'harbour-app', title: 'Harbour' }],
      destinations: [{ name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir', readings: 'at-once' }],
    }
    writeFileSync(settings, JSON.stringify(written))
    await withStore(async (at) => {
      const link = {
        patient: { system: 'https://clinic.example/mrn', value: 'P-77' },
        zone: 'America/Denver',
      }
      const place = { source: 'harbour-app', subject: 'HW-1042', destination: 'clinic' }
      await enrol({ ...place, ...link }, 'operator', at)
      await receiveSessions(
        [{ text: JSON.stringify(rawRecord({ id: 'r-1' })) }],
        { source: 'harbour-app' },
        at,
      )
    })
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  async function withStore<T>(act: (at: Awaited<ReturnType<typeof openGateway>>['ports']) => Promise<T>) {
    const gateway = await openGateway(readSettings(settings, {}))
    try {
      return await act(gateway.ports)
    } finally {
      await gateway.stop()
    }
  }

  async function run(line: string) {
    const at = recordedTerminal()
    const words = [...line.split(' '), '--settings', settings]
    return { code: await runCommandLine(words, at, openGateway, '0.0.0'), output: at.output() }
  }

  it.each([
    ['deliveries show 1', { what: 'delivery' }, '1'],
    ['deliveries preview 1', { what: 'delivery-preview' }, '1'],
    ['enrolments list', { what: 'enrolments', count: 1 }, ''],
    ['enrolments show harbour-app HW-1042', { what: 'enrolment' }, 'harbour-app'],
  ])('leaves a row of what it showed: %s', async (line, detail, about) => {
    expect((await run(line)).code).toBe(0)
    const rows = await withStore(({ store }) => store.auditPage({ limit: 100 }))
    expect(rows.at(-1)).toMatchObject({ action: 'record-read', actor: 'operator', about, detail })
  })

  it('lists the rows that are meant', async () => {
    await run('deliveries show 1')
    const { code, output } = await run('audit list --action record-read --about 1')
    expect(code).toBe(0)
    expect(output).toContain('record-read')
    expect(output).not.toContain('source-registered')
    const { items } = JSON.parse((await run('audit list --json --limit 2')).output)
    expect(items.map(({ seq }: AuditRow) => seq)).toEqual([1, 2])
    expect((await run('audit list --about nothing')).output).toContain('no row')
    expect((await run('audit list --action looked')).code).toBe(2)
  })
})
