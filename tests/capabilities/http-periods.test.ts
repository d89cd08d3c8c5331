import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import type { OutboxState } from '../../src/core/outbox/entry.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { rawRecord } from '../support/raw-record.ts'

const PERIOD = {
  source: 'harbour-app',
  subject: 'HW-1042',
  protocol: 'fortnight-of-mornings',
  firstDay: '2026-03-02',
  days: 14,
}
const ENROLMENT = '/enrolments/meadow-app/M%2F7'
const LINK = {
  patient: { system: 'https://clinic.example/mrn', value: 'P-78' },
  zone: 'Europe/Lisbon',
  destination: 'clinic',
  armCircumferenceCm: 31,
}

describe('opening a period', () => {
  const { protocol: _, days: __, ...unnamed } = PERIOD

  async function openAt(settings: Readonly<Record<string, unknown>>, period: object) {
    const door = await openDoor({ settings })
    try {
      return await postJson(door.url, '/periods', period)
    } finally {
      await door.close()
    }
  }

  it('without naming a protocol goes by the one of the destination', async () => {
    const clinic = { name: 'clinic', baseUrl: 'http://127.0.0.1:9/fhir', protocol: 'nice-ng136-home' }
    const opened = await openAt({ destinations: [clinic] }, unnamed)
    expect(opened.status).toBe(201)
    expect(opened.json).toMatchObject({ protocol: 'nice-ng136-home', lastDay: '2026-03-08', revision: 0 })
  })

  it('without naming one is refused where the destination has none, and the choices are named', async () => {
    const refused = await openAt({}, unnamed)
    expect(refused.json).toMatchObject({ status: 422, code: 'MISSING_KEY', issues: [{ at: 'protocol' }] })
    expect(refused.text).toContain('nice-ng136-home')
    expect(refused.text).toContain('chep-2017-recording')
  })

  it('for somebody who is not enrolled says that alone', async () => {
    const refused = await openAt({}, { ...unnamed, subject: 'HW-9' })
    expect(refused.json).toMatchObject({ status: 422, issues: [{ at: 'subject', code: 'UNKNOWN_SUBJECT' }] })
  })
})

describe('days of a period', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  it.each([
    ['1800-01-01', 7, 'firstDay'],
    ['1989-12-31', 7, 'firstDay'],
    ['2099-03-02', 7, 'firstDay'],
    ['9999-12-31', 366, 'firstDay'],
    ['2028-03-10', 366, 'days'],
  ])('from %s, %i of them, cannot be meant, and nothing is opened', async (firstDay, days, at) => {
    const refused = await postJson(door.url, '/periods', { ...PERIOD, firstDay, days })
    expect(refused.json).toMatchObject({ status: 422, issues: [{ at, code: 'OUT_OF_RANGE' }] })
    expect(refused.text).toContain('none later than 2028-03-2')
    expect((await ask(door.url, '/periods')).json).toEqual({ items: [] })
  })
})

describe('withdrawing a period', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord())
  })
  afterAll(() => door.close())

  const withdraw = (place: string) => ask(door.url, place, { method: 'DELETE' })

  it('gives it back as it is kept, once and again, and its days are free', async () => {
    const opened = await postJson(door.url, '/periods', PERIOD)
    const place = String(opened.headers.location)
    const kept = { ...(opened.json as object), state: 'withdrawn' }
    expect((await withdraw(place)).json).toEqual({ ...kept, withdrawnNow: true, queued: 0 })
    expect((await withdraw(place)).json).toEqual({ ...kept, withdrawnNow: false, queued: 0 })
    expect((await ask(door.url, place)).json).toEqual(kept)
    for (const part of ['average', 'bundle', 'averages']) {
      expect((await ask(door.url, `${place}/${part}`)).json).toMatchObject({
        status: 409,
        code: 'PERIOD_WITHDRAWN',
      })
    }
    const close = await ask(door.url, `${place}/close`, { method: 'POST' })
    expect(close.json).toMatchObject({ status: 409, code: 'PERIOD_WITHDRAWN' })
    const again = await postJson(door.url, '/periods', { ...PERIOD, days: 7 })
    expect(again.status).toBe(201)
    expect(again.headers.location).not.toBe(place)
  })

  it('shows its average as entered in error, and the one before as it was', async () => {
    const opened = await postJson(door.url, '/periods', { ...PERIOD, firstDay: '2026-03-01' })
    const place = String(opened.headers.location)
    await ask(door.url, `${place}/close`, { method: 'POST' })
    expect((await withdraw(place)).json).toMatchObject({ withdrawnNow: true, queued: 1, revision: 2 })
    const { items } = (await ask(door.url, `${place}/averages`)).json as { items: object[] }
    expect(items).toMatchObject([{ status: 'final' }, { status: 'entered-in-error' }])
    const [before, now] = await Promise.all(
      [1, 2].map(async (revision) => (await ask(door.url, `${place}/averages/${revision}`)).json),
    )
    expect(now).toMatchObject({ readings: (before as { readings: object }).readings })
  })

  it('of nobody’s is not found', async () => {
    const unknown = await withdraw('/periods/00000000-0000-5000-8000-000000000000')
    expect(unknown.json).toMatchObject({ status: 404, code: 'NOT_FOUND' })
  })
})

describe('closing a period right after something arrived', () => {
  let door: OpenDoor
  let place: string
  beforeEach(async () => {
    door = await openDoor()
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord())
    place = String((await postJson(door.url, '/periods', PERIOD)).headers.location)
    expect((await close()).json).toMatchObject({ closedNow: true, issuedNow: true, revision: 1 })
  })
  afterEach(() => door.close())

  const close = () => ask(door.url, `${place}/close`, { method: 'POST' })
  const change = (method: string, body?: object) =>
    ask(door.url, '/sessions/s-2031?source=harbour-app', {
      method,
      ...(body === undefined
        ? {}
        : { headers: { 'Content-Type': 'application/json' }, body: JSON.stringify(body) }),
    })
  const readings = async () => (await ask(door.url, `${place}/average`)).json

  it('is about what was corrected, without waiting for the schedule', async () => {
    const [reading] = rawRecord().readings as [object]
    expect((await change('PUT', rawRecord({ readings: [reading] }))).status).toBe(200)
    expect((await close()).json).toMatchObject({ closedNow: true, issuedNow: true, revision: 2 })
    expect(await readings()).toMatchObject({ readings: { received: 1 } })
    expect((await close()).json).toMatchObject({ closedNow: false, issuedNow: false, revision: 2 })
  })

  it('is about what was taken back', async () => {
    expect((await change('DELETE')).status).toBe(200)
    expect((await close()).json).toMatchObject({ closedNow: true, issuedNow: true, revision: 2 })
    expect(await readings()).toMatchObject({ readings: { used: 0 } })
  })

  it('is about what came late', async () => {
    const takenAt = '2026-03-03T06:41:00-07:00'
    const late = { id: 's-late', takenAt, readings: [{ takenAt, systolic: 133, diastolic: 81 }] }
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord(late))
    expect((await close()).json).toMatchObject({ closedNow: true, issuedNow: true, revision: 2 })
    expect(await readings()).toMatchObject({ readings: { received: 3 } })
  })
})

describe('enrolling, measuring and averaging over HTTP', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  const put = (value: unknown) =>
    ask(door.url, ENROLMENT, {
      method: 'PUT',
      headers: { 'Content-Type': 'application/json' },
      body: JSON.stringify(value),
    })
  const itemsOf = async (path: string) =>
    (await ask(door.url, path)).json as { items: Record<string, unknown>[]; next?: string }

  it('links a subject, queues what had been waiting, and gives the link back', async () => {
    await postJson(door.url, '/sessions?source=meadow-app', rawRecord({ id: 'early', subject: 'M/7' }))
    expect((await ask(door.url, ENROLMENT)).status).toBe(404)
    const saved = await put(LINK)
    expect(saved.status).toBe(200)
    expect(saved.json).toEqual({ source: 'meadow-app', subject: 'M/7', ...LINK, queued: 1, moving: 0 })
    expect((await put(LINK)).json).toMatchObject({ queued: 0 })
    expect((await ask(door.url, ENROLMENT)).json).toEqual({ source: 'meadow-app', subject: 'M/7', ...LINK })
  })

  it('opens a period once, and averages it when it is closed', async () => {
    await postJson(door.url, '/sessions?source=harbour-app', rawRecord())
    const opened = await postJson(door.url, '/periods', PERIOD)
    expect(opened.status).toBe(201)
    expect(opened.json).toMatchObject({ state: 'open', lastDay: '2026-03-15', due: '2026-03-16T18:00:00Z' })
    const place = String(opened.headers.location)
    expect((await postJson(door.url, '/periods', PERIOD)).status).toBe(200)
    expect((await ask(door.url, place)).json).toEqual(opened.json)

    for (const part of ['bundle', 'average']) {
      const early = await ask(door.url, `${place}/${part}`)
      expect(early.status).toBe(409)
      expect(early.json).toMatchObject({ code: 'NOT_YET' })
    }

    const closed = await ask(door.url, `${place}/close`, { method: 'POST' })
    expect(closed.json).toMatchObject({ state: 'closed', closedNow: true })
    expect((await ask(door.url, `${place}/close`, { method: 'POST' })).json).toMatchObject({
      closedNow: false,
    })

    const bundle = await ask(door.url, `${place}/bundle`, { headers: { Accept: 'application/fhir+json' } })
    expect(bundle.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
    expect(bundle.json).toMatchObject({ resourceType: 'Bundle', type: 'transaction' })
    expect(validateResource(bundle.json).filter((issue) => issue.severity === 'error')).toEqual([])
    const average = await ask(door.url, `${place}/average`)
    expect(average.status).toBe(200)
    expect(average.json).toBeTypeOf('object')
  })

  it('asked for again with other days or another arm is refused, told what differs, and left as it is', async () => {
    const first = { ...PERIOD, firstDay: '2026-04-01', arm: 'left' }
    const opened = await postJson(door.url, '/periods', first)
    expect(opened.status).toBe(201)
    const { id } = opened.json as { id: string }
    const { arm: _, ...unnamed } = first
    for (const [asked, places] of [
      [{ ...first, days: 7 }, ['days']],
      [{ ...first, arm: 'right' }, ['arm']],
      [unnamed, ['arm']],
      [{ ...unnamed, days: 13 }, ['days', 'arm']],
    ] as const) {
      const refused = await postJson(door.url, '/periods', asked)
      expect(refused.json).toMatchObject({
        status: 409,
        code: 'SAME_PERIOD_OTHER_PLAN',
        issues: places.map((at) => ({ at, code: 'SAME_PERIOD_OTHER_PLAN' })),
      })
      for (const { expected } of (refused.json as { issues: { expected: string }[] }).issues)
        expect(expected).toContain(id)
    }
    for (const same of [first, { ...first, days: undefined }]) {
      const again = await postJson(door.url, '/periods', same)
      expect([again.status, again.json]).toEqual([200, opened.json])
    }
  })

  it('is not closed while it runs, and told until when, and what to do', async () => {
    const running = { ...PERIOD, firstDay: '2026-03-14', days: 7 }
    const opened = await postJson(door.url, '/periods', running)
    const refused = await ask(door.url, `${opened.headers.location}/close`, { method: 'POST' })
    expect(refused.json).toMatchObject({ status: 409, code: 'NOT_YET' })
    expect(refused.text).toContain('2026-03-21T00:00:00-06:00')
    expect(refused.text).toContain(String((opened.json as { due: string }).due))
    expect((await ask(door.url, String(opened.headers.location))).json).toEqual(opened.json)
  })

  it('pages through periods by opaque cursors, each once', async () => {
    for (const firstDay of ['2026-05-01', '2026-06-01', '2026-07-01', '2026-08-01']) {
      await postJson(door.url, '/periods', { ...PERIOD, firstDay })
    }
    const whole = (await itemsOf('/periods')).items
    expect(whole).toHaveLength(7)
    const seen: unknown[] = []
    let cursor: string | undefined
    do {
      const page = await itemsOf(`/periods?limit=2${cursor === undefined ? '' : `&cursor=${cursor}`}`)
      seen.push(...page.items)
      cursor = page.next
    } while (cursor !== undefined)
    expect(seen).toEqual(whole)
  })

  it('lists deliveries by state, and queues a given-up one again', async () => {
    const { store } = door.ports
    const [entry] = await store.claim(Date.UTC(2026, 2, 21), 60_000, 1)
    if (entry === undefined) throw new Error('nothing to deliver')
    await store.settle(
      entry,
      {
        state: 'given-up',
        problem: 'CLINIC_REFUSED',
        uncertain: false,
        said: { status: 422, text: '{"resourceType":"OperationOutcome"}' },
      },
      {
        at: '2026-03-21T00:00:00Z',
        actor: 'gateway',
        action: 'delivery-attempted',
        about: '',
        outcome: 'failed',
        detail: {},
      },
    )
    const stateNow = async (): Promise<OutboxState[]> =>
      (await itemsOf('/deliveries')).items
        .filter((one) => one.id === entry.id)
        .map((one) => one.state as OutboxState)

    expect((await itemsOf('/deliveries?state=given-up')).items).toMatchObject([
      {
        id: entry.id,
        problem: { code: 'CLINIC_REFUSED', remedy: expect.stringContaining('retry') },
        queued: expect.stringMatching(/Z$/),
      },
    ])
    expect((await ask(door.url, `/deliveries/${entry.id}`)).json).toMatchObject({
      state: 'given-up',
      said: { status: 422 },
    })
    expect((await itemsOf('/deliveries?problem=CLINIC_LOGIN')).items).toEqual([])
    expect(await stateNow()).toEqual(['given-up'])
    const retried = await ask(door.url, `/deliveries/${entry.id}/retry`, { method: 'POST' })
    expect(retried.json).toEqual({ id: entry.id, state: 'waiting' })
    expect(await stateNow()).toEqual(['waiting'])
    expect((await ask(door.url, `/deliveries/${entry.id}/retry`, { method: 'POST' })).status).toBe(409)
  })

  it('shows the audit trail in order, page after page', async () => {
    const first = await itemsOf('/audit?limit=2')
    const second = await itemsOf(`/audit?limit=200&cursor=${first.next ?? ''}`)
    const rows = [...first.items, ...second.items]
    expect(rows.map((row) => row.seq)).toEqual(rows.map((_, index) => index + 1))
    const actions = new Set(rows.map((row) => row.action))
    for (const action of [
      'session-received',
      'enrolment-saved',
      'period-opened',
      'period-closed',
      'delivery-retried',
    ]) {
      expect(actions).toContain(action)
    }
  })

  it('registers a source once and only renews its title after', async () => {
    expect((await postJson(door.url, '/sources', { name: 'hill-app', title: 'Hill' })).status).toBe(201)
    expect((await postJson(door.url, '/sources', { name: 'hill-app', title: 'Hill 2' })).status).toBe(200)
    expect((await itemsOf('/sources')).items).toContainEqual({ name: 'hill-app', title: 'Hill 2' })
  })
})
