/**
 * The table of answers of DEVELOPERS.md ("How a delivery is made"), row by row, over the real flow, store and door, against
 * a clinic's server that really sends the answer. Each row says what becomes of the entry, what the audit trail has, and
 * what the operator is told; and that afterwards, when the server is well, everything is there once.
 *
 * Source of the rows: FHIR R4 4.0.1 http.html (create, conditional create, update, transaction), RFC 9110 section 15,
 * RFC 6585; what servers were seen to do is marked so.
 */
import { afterEach, describe, expect, it } from 'vitest'
import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import type { OutboxState } from '../../src/core/outbox/entry.ts'
import { previewDelivery } from '../../src/flow/operate/preview-delivery.ts'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import {
  type DeliveryOverSocket,
  type DeliveryOverSocketOptions,
  openDeliveryOverSocket,
  TIME_LIMIT_MS,
} from '../support/hostile-clinic/delivery-over-socket.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { OF_A_SITTING, queueSessions, readingOf, sitting } from '../support/queued-delivery.ts'
import { wordsTold } from '../support/words-told.ts'

let at: DeliveryOverSocket
afterEach(() => at.close())

async function start(options: DeliveryOverSocketOptions = {}): Promise<void> {
  at = await openDeliveryOverSocket(options)
  await queueSessions(at)
}

const TOGETHER = {}
const SINGLY = { transaction: 'off' } as const satisfies Partial<ClinicBehaviour>

/** What the entry came to, in the outbox, the audit trail and to the operator, in the same words. */
async function isTold(state: OutboxState, problem?: ErrorCode): Promise<void> {
  const told = await at.told()
  const { outcome, detail } = await at.lastAttempt()
  expect(told.state).toBe(state)
  if (problem === undefined) {
    expect(told).not.toHaveProperty('problem')
    expect([outcome, detail.problem]).toEqual(['done', undefined])
    return
  }
  const [meaning, remedy] = wordsTold(problem, state)
  expect(told.problem).toEqual({ code: problem, meaning, remedy })
  expect([outcome, detail.state, detail.problem]).toEqual(['failed', state, problem])
}

/** Monitor, readings and Provenance, each created once and never again. */
function everythingIsThereOnce(): void {
  expect(at.clinic.ledger.createdTwice()).toEqual([])
  for (const ordinal of [1, 2]) {
    expect(at.clinic.ledger.timesCreated(readingOf('s-1', ordinal))).toBe(1)
  }
  const kept = ['Device', 'Observation', 'Provenance'].flatMap((type) => at.clinic.kept.all(type))
  expect(kept).toHaveLength(OF_A_SITTING)
}

/** The server is well again: whatever is left to be done is done, by an operator where it needs one. */
async function goesOnWhenWell(): Promise<void> {
  at.clinic.behaveHonestly()
  await at.clinic.quiet()
  await resumeRoute(DESTINATION, 'operator', at.flows.ports)
  const { id, state } = await at.told()
  if (state === 'given-up' || state === 'parked') await retryDeliveries({ id }, 'operator', at.flows.ports)
  await at.deliverLater()
  await isTold('settled')
  everythingIsThereOnce()
}

describe('201', () => {
  it.each<[string, Partial<ClinicBehaviour>]>([
    ['a Location with its version, and an ETag', {}],
    ['a Location without a version', { location: 'unversioned' }],
    ['a relative Location', { location: 'relative' }],
    ['a Location that begins with http: and the name of a host inside', { location: 'http' }],
    ['a Location on another host', { location: 'foreign' }],
    ['Content-Location', { location: 'content-location' }],
    ['no Location', { location: 'missing' }],
    ['no Location, no ETag and no body', { location: 'missing', etag: false, writtenBody: 'never' }],
  ])('with %s is settled, and what was made is found when it is to be changed', async (_, behaviour) => {
    await start({ behaviour: { ...SINGLY, ...behaviour } })
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await isTold('settled')
    everythingIsThereOnce()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(at.clinic.holding(readingOf('s-1', 1)).map((versions) => versions.length)).toEqual([2])
    const provenance = at.clinic.kept.all('Provenance').at(-1)
    const target = { reference: expect.stringMatching(/^Observation\/[^/]+$/) }
    expect(provenance?.target).toEqual([target, target].map((one) => expect.objectContaining(one)))
  })

  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])('that is cut down to nothing by what stands between loses nothing: %s', async (_, behaviour) => {
    await start({ behaviour })
    at.clinic.faults.every(1, fault.emptyBody)
    await at.deliver()
    await goesOnWhenWell()
  })
})

describe('200', () => {
  it.each([
    ['in a transaction', TOGETHER],
    ['to a conditional create', SINGLY],
  ])(
    '%s means that it is there already: settled, and nothing is said to be created',
    async (_, behaviour) => {
      await start({ behaviour })
      // Another gateway of the same clinic, which knows nothing of this one.
      const before = await openDeliveryOverSocket({ started: at.started })
      try {
        await queueSessions(before)
        await before.deliver()
      } finally {
        await before.close()
      }
      const writes = at.clinic.ledger.writes.length
      expect(await at.deliver()).toMatchObject({ settled: 1, created: 0, alreadyThere: OF_A_SITTING })
      await isTold('settled')
      expect((await at.lastAttempt()).detail).toMatchObject({ created: 0, alreadyThere: OF_A_SITTING })
      expect(at.clinic.ledger.writes).toHaveLength(writes)
      everythingIsThereOnce()
    },
  )

  it.each<[string, Partial<ClinicBehaviour>]>([
    ['201 Created', {}],
    ['201', { entryStatus: 'digits' }],
    ['and no location, etag or resource', { location: 'missing', etag: false, writtenBody: 'never' }],
    ['and a location on another host', { location: 'foreign' }],
    ['and a location of the host inside', { location: 'http' }],
    ['and a relative location', { location: 'relative' }],
  ])('with a response for each entry, each a success, is settled: %s', async (_, behaviour) => {
    await start({ behaviour })
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await isTold('settled')
    everythingIsThereOnce()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(at.clinic.holding(readingOf('s-1', 1)).map((versions) => versions.length)).toEqual([2])
  })

  it.each<[string, Fault, OutboxState, ErrorCode]>([
    ['every entry is refused inside', fault.entryFails(0, 422, true), 'given-up', 'CLINIC_REFUSED'],
    ['one entry is refused inside', fault.entryFails(1, 400), 'given-up', 'CLINIC_REFUSED'],
    ['one entry is throttled inside', fault.entryFails(1, 429), 'waiting', 'CLINIC_BUSY'],
    ['one entry is put off inside', fault.entryFails(1, 503), 'waiting', 'CLINIC_BUSY'],
    ['one entry failed inside', fault.entryFails(1, 500), 'waiting', 'CLINIC_FAILED'],
    ['it is another resource, and all was done', fault.wrongBody, 'waiting', 'CLINIC_ANSWER_UNREADABLE'],
    [
      'it is another resource, and nothing was done',
      fault.wrongBodyUndone,
      'waiting',
      'CLINIC_ANSWER_UNREADABLE',
    ],
    ['its JSON ends in the middle', fault.truncatedJson, 'waiting', 'CLINIC_ANSWER_UNREADABLE'],
    ['it is a page, and all was done', fault.page(200, true), 'waiting', 'CLINIC_ANSWER_UNREADABLE'],
    ['it is a page, and nothing was done', fault.page(200), 'waiting', 'CLINIC_ANSWER_UNREADABLE'],
  ])('is no success when %s', async (_, one, state, problem) => {
    await start()
    at.clinic.faults.next([one])
    expect(await at.deliver()).toMatchObject({ settled: 0 })
    await isTold(state, problem)
    await goesOnWhenWell()
  })
})

describe('202', () => {
  it.each([
    ['nothing was done', fault.accepted()],
    ['it was done at once', fault.accepted('now')],
  ])('is no promise, for nobody asked for later: %s', async (_, one) => {
    await start()
    at.clinic.faults.next([one])
    await at.deliver()
    await isTold('waiting', 'CLINIC_ANSWER_UNREADABLE')
    expect((await at.told()).uncertain).toBe(true)
    await goesOnWhenWell()
  })
})

describe.each([
  ['a transaction', TOGETHER],
  ['a single create', SINGLY],
])('in answer to %s,', (_, behaviour) => {
  it.each<[number, ErrorCode]>([
    [400, 'CLINIC_REFUSED'],
    [422, 'CLINIC_REFUSED'],
    [410, 'CLINIC_DELETED'],
  ])('%i gives it up, with the OperationOutcome for a person to read', async (status, problem) => {
    await start({ behaviour })
    at.clinic.faults.next([fault.status(status, { code: 'business-rule', diagnostics: 'Rule 17 says no' })])
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    await isTold('given-up', problem)
    const { said, uncertain } = await at.told()
    expect(said).toMatchObject({ status, text: expect.stringContaining('Rule 17 says no') })
    expect(uncertain).toBe(false)
    expect(JSON.stringify([at.flows.log.lines, await at.auditRows()])).not.toContain('Rule 17')
    await goesOnWhenWell()
  })

  it.each<[number, ErrorCode]>([
    [401, 'CLINIC_LOGIN'],
    [403, 'CLINIC_FORBIDS'],
  ])('%i stops the route with an alert, and costs the entry nothing', async (status, problem) => {
    await start({ behaviour, destination: { access: { kind: 'bearer', token: 'a-token' } } })
    at.clinic.behave({ admits: () => (status === 401 ? 401 : 403) })
    await at.deliver()
    await isTold('waiting', problem)
    expect(await at.told()).toMatchObject({ attempts: 0, uncertain: false })
    expect(at.flows.log.lines).toContainEqual(
      expect.objectContaining({ level: 'error', event: 'route-stopped' }),
    )
    expect(await at.auditRows()).toContainEqual(
      expect.objectContaining({ action: 'route-stopped', about: DESTINATION, detail: { problem } }),
    )
    const requests = at.clinic.requests.length
    await at.deliverLater()
    expect(at.clinic.requests).toHaveLength(requests)
    await goesOnWhenWell()
  })

  it('409 is tried again later, and is no doubt', async () => {
    await start({ behaviour })
    at.clinic.faults.next([fault.status(409, { code: 'conflict' })])
    await at.deliver()
    await isTold('waiting', 'CLINIC_BUSY')
    expect((await at.told()).uncertain).toBe(false)
    await goesOnWhenWell()
  })

  it.each([429, 503, 425, 408])('%i without a time waits by our own schedule', async (status) => {
    await start({ behaviour, delivery: { firstRetryMs: 10_000 } })
    at.clinic.faults.next([fault.status(status)])
    await at.deliver()
    await isTold('waiting', 'CLINIC_BUSY')
    expect(await at.told()).toMatchObject({ uncertain: false, attempts: 1 })
    // Full jitter: half of the first wait, by the number that these tests draw.
    expect(await dueInMs()).toBe(5_000)
    await goesOnWhenWell()
  })

  it.each([
    ['seconds', '120', 120_000],
    ['an HTTP-date', 'Tue, 10 Mar 2026 12:05:00 GMT', 300_000],
    ['a date in an old form', 'Tuesday, 10-Mar-26 12:05:00 GMT', 300_000],
    ['more than is granted', '9999999', 600_000],
  ])('429 and 503 wait as Retry-After says: %s', async (_form, retryAfter, waitMs) => {
    const delivery = { firstRetryMs: 1_000, longestRetryAfterMs: 600_000 }
    await start({ behaviour, delivery })
    for (const status of [429, 503]) {
      at.clinic.faults.next([fault.status(status, { retryAfter })])
      await (status === 429 ? at.deliver() : at.deliverLater(0))
      if (status === 429) {
        expect(await dueInMs()).toBeGreaterThanOrEqual(waitMs)
        expect(await dueInMs()).toBeLessThanOrEqual(waitMs + delivery.firstRetryMs)
        expect(await at.deliverLater(waitMs - 1)).toMatchObject({ settled: 0, waiting: 0 })
      }
    }
    await isTold('waiting', 'CLINIC_BUSY')
    await goesOnWhenWell()
  })

  it.each<[string, Fault, ErrorCode]>([
    ['500, done', fault.status(500, { doneAllTheSame: true }), 'CLINIC_FAILED'],
    ['500, not done', fault.status(500), 'CLINIC_FAILED'],
    ['502 by a page, done', fault.page(502, true), 'CLINIC_FAILED'],
    ['502 by a page, not done', fault.page(502), 'CLINIC_FAILED'],
    ['504, done', fault.status(504, { doneAllTheSame: true, form: 'page' }), 'CLINIC_FAILED'],
    ['a connection closed before it was done', fault.dropBefore, 'CLINIC_UNREACHABLE'],
    ['a connection closed after it was done', fault.dropAfter, 'CLINIC_UNREACHABLE'],
    ['a connection reset before it was done', fault.resetBefore, 'CLINIC_UNREACHABLE'],
    ['a connection reset after it was done', fault.resetAfter, 'CLINIC_UNREACHABLE'],
    ['an answer cut off', fault.cutOff, 'CLINIC_UNREACHABLE'],
    ['an answer after the time limit, done', fault.slow(TIME_LIMIT_MS + 300), 'CLINIC_UNREACHABLE'],
    ['an answer after the time limit, done late', slowAndLate(), 'CLINIC_UNREACHABLE'],
    ['no answer in time, and not done', fault.slow(TIME_LIMIT_MS + 300, 'never'), 'CLINIC_UNREACHABLE'],
  ])(
    '%s leaves a doubt, and what was made is looked for before anything is sent again',
    async (_what, one, problem) => {
      await start({ behaviour, delivery: { quietMs: 60_000, firstRetryMs: 1_000 } })
      at.clinic.faults.next([one])
      await at.deliver()
      await isTold('waiting', problem)
      expect((await at.told()).uncertain).toBe(true)
      expect(await dueInMs()).toBeGreaterThanOrEqual(60_000)
      await at.clinic.quiet()
      const before = at.clinic.requests.length
      await at.deliverLater()
      const after = at.clinic.requests.slice(before).map(({ kind }) => kind)
      const firstWrite = after.findIndex((kind) => kind === 'transaction' || kind === 'create')
      expect(after.filter((kind) => kind === 'search').length).toBeGreaterThan(0)
      expect(after.slice(0, firstWrite === -1 ? after.length : firstWrite)).toContain('search')
      await isTold('settled')
      everythingIsThereOnce()
    },
  )

  it.each([400, 404, 412, 422, 500, 502, 503])(
    '%i told by a page or a text is judged by its status, and its first words are kept',
    async (status) => {
      await start({ behaviour })
      at.clinic.faults.next([fault.status(status, { form: 'page' })], ofObservation)
      await at.deliver()
      const { state, said } = await at.told()
      if (status === 404 || status === 412) expect(state).toBe('settled')
      else expect(said).toMatchObject({ status, text: expect.stringMatching(/^text\/html: Error #/) })
      await goesOnWhenWell()
    },
  )
})

function ofObservation({ kind, path }: { readonly kind: string; readonly path: string }): boolean {
  return kind === 'transaction' || (kind === 'create' && path === 'Observation')
}

function slowAndLate(): Fault {
  return fault.slow(TIME_LIMIT_MS + 300, { afterMs: TIME_LIMIT_MS + 200 })
}

/** Milliseconds until the entry may be tried again. */
async function dueInMs(): Promise<number> {
  return Date.parse((await at.told()).due ?? '') - at.nowMs()
}

describe('401', () => {
  it('to an issued token is answered by one fresh one, once, and no word to anybody', async () => {
    const refusals: (string | undefined)[] = []
    const tokens = {
      async tokenFor(_: unknown, refused: string | undefined) {
        refusals.push(refused)
        return { kind: 'token', token: refused === undefined ? 'old' : 'new' } as const
      },
    }
    const access = { kind: 'smart-backend', clientId: 'gateway', scopes: ['system/Observation.c'] }
    await start({ tokens, destination: { access } })
    at.clinic.behave({ admits: (authorization) => (authorization === 'Bearer new' ? undefined : 401) })
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    await isTold('settled')
    expect(refusals).toContain('old')
    everythingIsThereOnce()
  })
})

describe('3xx', () => {
  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])('is not followed, and given up: %s', async (_, behaviour) => {
    await start({ behaviour })
    at.clinic.faults.next([fault.status(307, { form: 'page' })])
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    await isTold('given-up', 'CLINIC_ANSWER_UNREADABLE')
    const { said, uncertain } = await at.told()
    expect([said?.status, uncertain]).toEqual([307, false])
    await goesOnWhenWell()
  })
})

describe('404, 405 and 501 on the base', () => {
  it.each([404, 405, 501])('%i: the next way is taken in the same attempt', async (status) => {
    await start()
    at.clinic.faults.every(1, fault.status(status), ['transaction'])
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await isTold('settled')
    expect((await at.lastAttempt()).detail).toMatchObject({ attempt: 1, rung: 'conditional-create' })
    expect(await at.auditRows()).toContainEqual(
      expect.objectContaining({
        action: 'route-chosen',
        detail: expect.objectContaining({ before: 'transaction', rung: 'conditional-create' }),
      }),
    )
    everythingIsThereOnce()
  })

  it('400 that says not-supported: so too', async () => {
    await start({ behaviour: { conditionInTransaction: 'refused' } })
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect((await at.lastAttempt()).detail).toMatchObject({ rung: 'conditional-create' })
    everythingIsThereOnce()
  })
})

describe('412', () => {
  const WAYS = [
    ['a transaction', TOGETHER, 'transaction'],
    ['a conditional create', SINGLY, 'create'],
  ] as const

  it.each(WAYS)('to %s for several matches is given up and told as an error', async (_, behaviour) => {
    await start({ behaviour })
    await putReadingBehindBack()
    await putReadingBehindBack()
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    await isTold('given-up', 'CLINIC_DUPLICATES')
    expect(at.flows.log.lines).toContainEqual(
      expect.objectContaining({ level: 'error', event: 'delivery-given-up' }),
    )
    expect(at.clinic.holding(readingOf('s-1', 1))).toHaveLength(2)
  })

  it.each(WAYS)(
    'to %s that does not say why, with several there, is given up too',
    async (_, behaviour, kind) => {
      await start({ behaviour })
      await putReadingBehindBack()
      await putReadingBehindBack()
      at.clinic.faults.every(1, fault.status(412, { form: 'text' }), [kind])
      await at.deliver()
      await isTold('given-up', 'CLINIC_DUPLICATES')
    },
  )

  it.each(WAYS)(
    'to %s with nothing there means that it is not offered: the next way',
    async (_, behaviour, kind) => {
      await start({ behaviour })
      at.clinic.faults.every(
        1,
        fault.status(412, { code: 'not-supported' }),
        (request) =>
          request.kind === kind &&
          /ifNoneExist|identifier/.test(request.body + request.headers.get('if-none-exist')),
      )
      expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
      await isTold('settled')
      everythingIsThereOnce()
    },
  )

  it.each(WAYS)('to %s with everything there once is there already', async (_, behaviour, kind) => {
    await start({ behaviour })
    at.clinic.faults.next([fault.status(412, { doneAllTheSame: true })], [kind])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    await isTold('settled')
    everythingIsThereOnce()
  })

  it.each([
    ['412', TOGETHER, 412],
    ['412', SINGLY, 412],
    ['409, as STU3 had it,', TOGETHER, 409],
    ['409, as STU3 had it,', SINGLY, 409],
  ] as const)(
    '%s to If-Match is read again, and nothing of another writer is lost',
    async (_, behaviour, staleStatus) => {
      await start({ behaviour: { ...behaviour, staleStatus } })
      await at.deliver()
      await at.flows.correct(sitting('s-1', 'HW-1', 131))
      const [versions] = at.clinic.holding(readingOf('s-1', 1))
      const held = versions?.at(-1)?.resource
      if (held === undefined) throw new Error('there is no reading')
      // Somebody at the clinic writes between the reading and the writing, twice.
      let times = 0
      at.clinic.faults.next([fault.slow(1), fault.slow(1)], ({ kind, method }) => {
        if ((kind !== 'transaction' && method !== 'PUT') || times > 1) return false
        times += 1
        const note = [{ text: `Seen ${times}` }]
        at.clinic.putBehindBack({ ...held, resourceType: 'Observation', note })
        return true
      })
      expect(await at.deliver()).toMatchObject({ settled: 1 })
      await isTold('settled')
      expect(at.clinic.holding(readingOf('s-1', 1)).map((all) => all.length)).toEqual([4])
      expect(newest(1)).toMatchObject({ status: 'amended' })
    },
  )
})

describe('410 to an update', () => {
  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])('is given up: what the clinic deleted is not brought back: %s', async (_, behaviour) => {
    await start({ behaviour })
    await at.deliver()
    const [versions] = at.clinic.holding(readingOf('s-1', 1))
    at.clinic.faults.next(
      [fault.status(410, { code: 'deleted' })],
      ({ kind, method, body }) =>
        (kind === 'transaction' || method === 'PUT') && body.includes(readingOf('s-1', 1)),
    )
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    expect(await at.told(2)).toMatchObject({ state: 'given-up', problem: { code: 'CLINIC_DELETED' } })
    expect(at.clinic.kept.versions('Observation', String(versions?.[0]?.id))).toHaveLength(1)
  })
})

describe('413', () => {
  it('is answered by halves, down to what the server takes', async () => {
    await start({ behaviour: { mostEntries: 1 } })
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await isTold('settled')
    everythingIsThereOnce()
  })

  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])('to a single resource is given up: %s', async (_, behaviour) => {
    await start({ behaviour: { ...behaviour, mostOctets: 300 } })
    expect(await at.deliver()).toMatchObject({ givenUp: 1 })
    await isTold('given-up', 'CLINIC_TOO_LARGE')
    await goesOnWhenWell()
  })
})

function newest(ordinal: number): object {
  return at.clinic.holding(readingOf('s-1', ordinal))[0]?.at(-1)?.resource ?? {}
}

/** Puts the first reading there as if another system had sent it. */
async function putReadingBehindBack(): Promise<void> {
  const preview = await previewDelivery((await at.told()).id, at.flows.ports)
  const entry = preview?.bundle?.entry?.find(({ fullUrl }) => fullUrl?.endsWith(readingOf('s-1', 1)))
  if (entry?.resource === undefined) throw new Error('there is no reading')
  at.clinic.putBehindBack({ ...entry.resource })
}
