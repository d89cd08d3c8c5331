/** Linking subjects to patients, seeing who waits for that, and what waited reaching the clinic. */
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { issueKey } from '../../src/flow/register/access-keys.ts'
import { openGateway } from '../../src/gateway.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { runCommandLine } from '../../src/shell/cli/program.ts'
import { type Answer, ask, postJson } from '../support/ask.ts'
import { exampleSettings } from '../support/example-settings.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'
import { recordedTerminal } from '../support/recorded-terminal.ts'

const PATIENT = { system: 'https://clinic.example/mrn', value: 'P-80' }
const LINK = { patient: PATIENT, zone: 'America/Denver', destination: 'clinic' }

const TWO_CLINICS = {
  destinations: [
    { name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir' },
    { name: 'other-clinic', baseUrl: 'http://127.0.0.1:10/fhir' },
  ],
}

function enrolAt(url: string, subject: string, link: object, source = 'harbour-app'): Promise<Answer> {
  const path = `/enrolments/${source}/${encodeURIComponent(subject)}`
  const headers = { 'Content-Type': 'application/json' }
  return ask(url, path, { method: 'PUT', headers, body: JSON.stringify(link) })
}

describe('enrolments over HTTP', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor({ settings: TWO_CLINICS })
    for (const subject of ['HW-2', 'HW-3', 'a/b']) await enrolAt(door.url, subject, LINK)
    await enrolAt(door.url, 'M-1', LINK, 'meadow-app')
  })
  afterAll(() => door.close())

  it('are listed page by page, each once, of all sources or of one', async () => {
    const all = async (query: string) => {
      const seen: string[] = []
      for (let cursor = ''; ; ) {
        const { status, json } = await ask(door.url, `/enrolments?limit=2${query}${cursor}`)
        expect(status).toBe(200)
        const { items, next } = json as { items: { source: string; subject: string }[]; next?: string }
        seen.push(...items.map(({ source, subject }) => `${source}/${subject}`))
        if (next === undefined) return seen
        cursor = `&cursor=${next}`
      }
    }
    const harbour = ['HW-1042', 'HW-2', 'HW-3', 'a/b'].map((subject) => `harbour-app/${subject}`)
    expect(await all('')).toEqual([...harbour, 'meadow-app/M-1'])
    expect(await all('&source=harbour-app')).toEqual(harbour)
    expect(await all('&source=meadow-app')).toEqual(['meadow-app/M-1'])
  })

  it('say which other subjects are linked to the same patient of that clinic, whoever’s they are', async () => {
    const shared = { ...LINK, patient: { ...PATIENT, value: 'P-90' } }
    const first = (await enrolAt(door.url, 'one', shared)).json
    expect(first).not.toHaveProperty('linked')
    expect(first).not.toHaveProperty('remark')
    await enrolAt(door.url, 'elsewhere', { ...shared, destination: 'other-clinic' })
    await enrolAt(door.url, 'another', { ...shared, patient: { ...shared.patient, value: 'P-900' } })
    const second = (await enrolAt(door.url, 'two', shared, 'meadow-app')).json
    expect(second).toMatchObject({
      linked: [{ source: 'harbour-app', subject: 'one' }],
      remark: expect.stringMatching(/averaged together.*different people/),
    })
    expect(Object.keys((second as { linked: object[] }).linked[0] ?? {})).toEqual(['source', 'subject'])
    expect((await ask(door.url, '/enrolments/harbour-app/one')).json).toMatchObject({
      linked: [{ source: 'meadow-app', subject: 'two' }],
      remark: expect.stringMatching(/averaged together/),
    })
    const { items } = (await ask(door.url, '/enrolments?limit=200')).json as {
      items: { subject: string; alsoLinked?: number }[]
    }
    const counts = Object.fromEntries(items.map(({ subject, alsoLinked }) => [subject, alsoLinked]))
    expect(counts).toMatchObject({ one: 1, two: 1, elsewhere: undefined, another: undefined })
    const ofSource = (await ask(door.url, '/enrolments?source=meadow-app&limit=200')).json
    expect(ofSource).toMatchObject({
      items: expect.arrayContaining([{ ...shared, source: 'meadow-app', subject: 'two', alsoLinked: 1 }]),
    })
    await enrolAt(door.url, 'one', { ...shared, patient: { ...PATIENT, value: 'P-91' } })
    expect((await ask(door.url, '/enrolments/meadow-app/two')).json).not.toHaveProperty('linked')
    await enrolAt(door.url, 'two', { ...shared, patient: { ...PATIENT, value: 'P-92' } }, 'meadow-app')
  })

  it('refuse a source nobody registered, and a cursor nobody gave', async () => {
    const unknown = await ask(door.url, '/enrolments?source=nobody')
    expect(unknown.status).toBe(404)
    expect(unknown.json).toMatchObject({ code: 'UNKNOWN_SOURCE', issues: [{ at: 'query.source' }] })
    const cursor = Buffer.from('harbour-app').toString('base64url')
    expect((await ask(door.url, `/enrolments?cursor=${cursor}`)).json).toMatchObject({ code: 'OUT_OF_RANGE' })
  })

  it('can be changed to another clinic, which is given what is held; what was queued before stays', async () => {
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord({ id: 'moved-1', subject: 'HW-3' }))
    const moved = { ...LINK, patient: { ...PATIENT, value: 'X-9' }, destination: 'other-clinic' }
    expect((await enrolAt(door.url, 'HW-3', moved)).json).toMatchObject({ ...moved, queued: 1 })
    expect((await ask(door.url, '/enrolments/harbour-app/HW-3')).json).toMatchObject(moved)
    expect((await enrolAt(door.url, 'HW-3', moved)).json).toMatchObject({ queued: 0 })
    const { items } = (await ask(door.url, '/deliveries')).json as { items: { subject: string }[] }
    const queued = items.filter(({ subject }) => subject === 'HW-3')
    expect(queued).toMatchObject([{ destination: 'clinic' }, { destination: 'other-clinic' }])
  })

  it.each([
    ['a system with blanks', { ...PATIENT, system: 'lantern bay <x>' }, 'patient.system'],
    ['a system that is a word', { ...PATIENT, system: 'lantern' }, 'patient.system'],
    ['no identifier', { ...PATIENT, value: '' }, 'patient.value'],
    ['a blank identifier', { ...PATIENT, value: ' ' }, 'patient.value'],
    ['an identifier with a control character', { ...PATIENT, value: '\u0000x' }, 'patient.value'],
    ['an identifier that ends in a blank', { ...PATIENT, value: 'LB 1 ' }, 'patient.value'],
  ])('refuse %s', async (_what, patient, at) => {
    const refused = await enrolAt(door.url, 'HW-2', { ...LINK, patient })
    expect(refused.status).toBe(422)
    expect(refused.json).toMatchObject({ code: 'OUT_OF_RANGE', issues: [{ at }] })
    expect((await ask(door.url, '/enrolments/harbour-app/HW-2')).json).toMatchObject(LINK)
  })

  it('that were saved before a rule came stay readable', async () => {
    const patient = { system: 'lantern', value: 'LB 1 ' }
    const enrolment = { ...LINK, source: 'harbour-app', subject: 'HW-old', patient }
    const row = { at: '2026-03-01T00:00:00Z', actor: 'operator', action: 'enrolment-saved' } as const
    const audited = { ...row, about: 'harbour-app', outcome: 'done', detail: {} } as const
    await door.ports.store.saveEnrolment(enrolment, audited)
    expect((await ask(door.url, '/enrolments/harbour-app/HW-old')).json).toMatchObject({ patient })
    expect((await ask(door.url, '/enrolments?limit=200')).status).toBe(200)
  })

  it('are never deleted', async () => {
    const { status, headers } = await ask(door.url, '/enrolments/harbour-app/HW-2', { method: 'DELETE' })
    expect([status, headers.allow]).toEqual([405, 'HEAD, GET, PUT, OPTIONS'])
  })
})

describe('who waits for an enrolment', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
    const path = '/sessions?source=harbour-app'
    for (const [id, subject] of [
      ['w-1', 'HW-7'],
      ['w-2', 'HW-7'],
      ['w-3', 'HW-8'],
      ['w-4', 'HW-1042'],
    ]) {
      expect((await postJson(door.url, path, rawRecord({ id, subject }))).status).toBe(201)
    }
  })
  afterAll(() => door.close())

  const day = { firstReceived: '2026-03-20T12:00:00Z', lastReceived: '2026-03-20T12:00:00Z' }

  it('is told of a source, and counted with it', async () => {
    const waiting = await ask(door.url, '/sources/harbour-app/waiting')
    expect(waiting.json).toEqual({
      items: [
        { subject: 'HW-7', sessions: 2, ...day },
        { subject: 'HW-8', sessions: 1, ...day },
      ],
    })
    expect((await ask(door.url, '/sources/harbour-app')).json).toEqual({
      name: 'harbour-app',
      title: 'App harbour-app',
      waiting: { subjects: 2, sessions: 3 },
    })
    expect((await ask(door.url, '/sources/meadow-app/waiting')).json).toEqual({ items: [] })
  })

  it('is told page by page', async () => {
    const first = (await ask(door.url, '/sources/harbour-app/waiting?limit=1')).json as { next: string }
    expect(first).toMatchObject({ items: [{ subject: 'HW-7' }] })
    const second = await ask(door.url, `/sources/harbour-app/waiting?limit=1&cursor=${first.next}`)
    expect(second.json).toMatchObject({ items: [{ subject: 'HW-8' }] })
  })

  it.each(['/sources/nobody', '/sources/nobody/waiting'])('refuses %s', async (path) => {
    const { status, json } = await ask(door.url, path)
    expect(status).toBe(404)
    expect(json).toMatchObject({ code: 'UNKNOWN_SOURCE', issues: [{ at: 'path.name' }] })
  })

  it('waits no longer once enrolled', async () => {
    expect((await enrolAt(door.url, 'HW-8', LINK)).json).toMatchObject({ queued: 1 })
    const { json } = await ask(door.url, '/sources/harbour-app')
    expect(json).toMatchObject({ waiting: { subjects: 1, sessions: 2 } })
  })
})

describe('with keys', () => {
  it.each([
    ['/enrolments', 200],
    ['/sources/harbour-app', 200],
    ['/sources/harbour-app/waiting', 200],
  ])('%s is for those who read or operate', async (path, allowed) => {
    const door = await openDoor({ settings: { access: 'keys' } })
    try {
      for (const role of ['read', 'operate', 'audit', 'submit'] as const) {
        const request = { role, ...(role === 'submit' ? { source: 'harbour-app' } : {}) }
        const issued = await issueKey(request, 'operator', door.ports)
        if (!issued.ok) throw new Error('no key')
        const headers = { Authorization: `Bearer ${issued.value.key}` }
        const { status } = await ask(door.url, path, { headers })
        expect([role, status]).toEqual([role, role === 'read' || role === 'operate' ? allowed : 403])
      }
    } finally {
      await door.close()
    }
  })
})

describe('a session of a subject nobody knows', () => {
  const folder = mkdtempSync(join(tmpdir(), 'enrolments-'))
  let clinic: ClinicServer
  beforeAll(async () => {
    const name = { given: 'Bram', family: 'Thistledown' }
    clinic = await startClinicServer({ patients: [{ identifier: PATIENT, name }] })
  })
  afterAll(async () => {
    await clinic.close()
    rmSync(folder, { recursive: true, force: true })
  })

  const written = () => ({
    store: { file: join(folder, 'gateway.db') },
    sources: [{ name: 'harbour-app', title: 'Harbour home app' }],
    destinations: [{ name: 'clinic', baseUrl: clinic.baseUrl, readings: 'at-once' }],
  })

  it('is kept aside, and is in the clinic’s record once the enrolment comes', async () => {
    const every = '* * * * * *'
    const schedule = { closePeriods: every, deliver: every }
    const gateway = await openGateway(exampleSettings({ ...written(), schedule }))
    try {
      const { url } = await gateway.listen()
      await gateway.startSchedule()
      const sent = rawRecord({ id: 'early', subject: 'HW-7' })
      const receipt = await postJson(url, '/sessions?source=harbour-app', sent)
      expect(receipt.json).toMatchObject({ outcome: 'kept', enrolled: false })
      expect((await ask(url, '/deliveries')).json).toEqual({ items: [] })
      const { json } = await ask(url, '/sources/harbour-app/waiting')
      expect(json).toMatchObject({ items: [{ subject: 'HW-7', sessions: 1 }] })
      expect((await clinic.counts()).Observation ?? 0).toBe(0)

      expect((await enrolAt(url, 'HW-7', LINK)).json).toMatchObject({ queued: 1 })
      await expect
        .poll(async () => (await clinic.counts()).Observation ?? 0, { timeout: 30_000 })
        .toBeGreaterThan(0)
      expect((await ask(url, '/sources/harbour-app/waiting')).json).toEqual({ items: [] })
    } finally {
      await gateway.stop()
    }
  })

  describe('from the command line', () => {
    const settings = join(folder, 'gateway.json')
    beforeAll(() => writeFileSync(settings, JSON.stringify({ ...written(), log: { level: 'silent' } })))
    const run = async (...words: string[]) => {
      const at = recordedTerminal()
      const code = await runCommandLine([...words, '--settings', settings], at, openGateway, '0.0.0')
      return { code, output: at.output(), remarks: at.remarks() }
    }
    const SET = ['--patient-system', PATIENT.system, '--patient', 'P-81', '--zone', 'Europe/Lisbon']

    it.each([
      ['', PATIENT.system, 'patient.value'],
      ['P-81', 'not a uri', 'patient.system'],
    ])('is refused with the patient %j of %j, as over HTTP', async (value, system, at) => {
      const words = ['--patient-system', system, '--patient', value, '--zone', 'Europe/Lisbon']
      const set = ['enrolments', 'set', 'harbour-app', 'HW-5', ...words, '--destination', 'clinic']
      const refused = await run(...set)
      expect(refused.code).toBe(1)
      expect(refused.remarks).toContain(at)
      expect((await run('enrolments', 'show', 'harbour-app', 'HW-5')).code).toBe(1)
    })

    it('is seen waiting, enrolled, shown and listed', async () => {
      const gateway = await openGateway(exampleSettings(written()))
      const { url } = await gateway.listen()
      await postJson(url, '/sessions?source=harbour-app', rawRecord({ id: 'late', subject: 'HW-9' }))
      await gateway.stop()

      const waiting = await run('enrolments', 'waiting', 'harbour-app')
      expect(waiting.output).toContain('HW-9')
      const set = await run(
        ...['enrolments', 'set', 'harbour-app', 'HW-9', ...SET],
        ...['--destination', 'clinic', '--arm-cm', '31.5', '--json'],
      )
      expect([set.code, JSON.parse(set.output)]).toMatchObject([0, { subject: 'HW-9', queued: 1 }])
      expect((await run('enrolments', 'waiting', 'harbour-app')).output).toContain('nobody waits')
      const shown = await run('enrolments', 'show', 'harbour-app', 'HW-9', '--json')
      expect(JSON.parse(shown.output)).toMatchObject({ zone: 'Europe/Lisbon', armCircumferenceCm: 31.5 })
      const listed = await run('enrolments', 'list', 'harbour-app')
      expect(listed.output).toContain('P-81')
      expect(listed.output).toContain('31.5 cm')
      const page = await run('enrolments', 'list', '--limit', '1', '--json')
      expect(JSON.parse(page.output)).toMatchObject({ items: [{ subject: 'HW-7' }] })
      expect(page.remarks).toContain("--after 'harbour-app/HW-7'")
    })

    it('says of a patient of several subjects that they are averaged together', async () => {
      const where = ['--destination', 'clinic']
      const words = (patient: string) => [...SET.slice(0, 3), patient, ...SET.slice(4), ...where]
      const first = await run('enrolments', 'set', 'harbour-app', 'HW-21', ...words('P-82'))
      expect(first.output).not.toContain('together')
      const second = await run('enrolments', 'set', 'harbour-app', 'HW-22', ...words('P-82'))
      expect(second.code).toBe(0)
      expect(second.output).toContain('harbour-app HW-21')
      expect(second.output).toMatch(/averaged together/)
      const shown = await run('enrolments', 'show', 'harbour-app', 'HW-21')
      expect(shown.output).toContain('harbour-app HW-22')
      const asJson = await run('enrolments', 'show', 'harbour-app', 'HW-21', '--json')
      expect(JSON.parse(asJson.output)).toMatchObject({ linked: [{ subject: 'HW-22' }] })
      const listed = await run('enrolments', 'list', 'harbour-app')
      expect(listed.output.match(/1 other subject too/g)).toHaveLength(2)
      const mended = await run('enrolments', 'set', 'harbour-app', 'HW-22', ...words('P-83'), '--json')
      expect(JSON.parse(mended.output)).not.toHaveProperty('linked')
    })

    it.each([
      [['waiting', 'nobody'], 1, 'UNKNOWN_SOURCE'],
      [['list', 'nobody'], 1, 'UNKNOWN_SOURCE'],
      [['show', 'harbour-app', 'nobody'], 1, 'NOT_FOUND'],
      [['set', 'harbour-app', 'HW-9', ...SET, '--destination', 'nowhere'], 1, 'UNKNOWN_DESTINATION'],
      [['set', 'harbour-app', 'HW-9', ...SET, '--destination', 'clinic', '--arm-cm', '2'], 2, '10 to 80'],
      [['list', '--limit', '0'], 2, 'whole number'],
    ])('refuses %j', async (words, code, why) => {
      const refused = await run('enrolments', ...words)
      expect(refused.code).toBe(code)
      expect(refused.remarks).toContain(why)
    })
  })
})
