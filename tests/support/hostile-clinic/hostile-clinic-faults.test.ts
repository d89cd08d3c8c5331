import { setupServer } from 'msw/node'
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest'
import { seededRandom } from '../../../samples/generator/seeded-random.ts'
import { type ClinicClient, clinicClient } from './clinic-client.ts'
import { fault } from './fault.ts'
import { HostileClinic } from './hostile-clinic.ts'
import { hostileClinicHandlers } from './hostile-clinic-handlers.ts'
import { creating, observation, transaction } from './hostile-clinic-samples.ts'
import { type StartedClinic, startHostileClinic } from './start-hostile-clinic.ts'

describe.each(['socket', 'mock network'])('behind a %s', (door) => {
  const network = setupServer()
  let clinic: HostileClinic
  let client: ClinicClient
  let started: StartedClinic | undefined

  beforeAll(() => network.listen({ onUnhandledRequest: 'bypass' }))
  afterAll(() => network.close())
  beforeEach(async () => {
    if (door === 'socket') {
      started = await startHostileClinic()
      clinic = started.clinic
      client = clinicClient(started.baseUrl)
    } else {
      clinic = new HostileClinic()
      network.use(...hostileClinicHandlers(clinic, 'https://clinic.invalid/fhir'))
      client = clinicClient('https://clinic.invalid/fhir')
    }
  })
  afterEach(async () => {
    network.resetHandlers()
    await started?.close()
  })

  const create = (key = 'a') => client.send('POST', 'Observation', observation(key))
  const done = () => clinic.ledger.timesCreated('a')

  it.each([
    ['says any status, with a wait', fault.status(429, { retryAfter: '3' }), 429, 0],
    ['says 503 with a date', fault.status(503, { retryAfter: 'Sun, 06 Nov 1994 08:49:37 GMT' }), 503, 0],
    [
      'says 504 and has done it all the same',
      fault.status(504, { doneAllTheSame: true, form: 'page' }),
      504,
      1,
    ],
    ['gives a proxy’s page with 200', fault.page(200), 200, 0],
    ['gives another resource, and has done it', fault.wrongBody, 200, 1],
    ['gives JSON that ends in the middle, and has done it', fault.truncatedJson, 200, 1],
    ['gives an empty body, and has done it', fault.emptyBody, 201, 1],
    ['promises with 202, and does nothing', fault.accepted(), 202, 0],
    ['trickles an answer', fault.trickle(40, 1), 201, 1],
    ['is slow', fault.slow(20), 201, 1],
  ])('%s', async (_, one, status, times) => {
    clinic.faults.next([one])
    const answer = await create()
    expect(answer.status).toBe(status)
    expect(done()).toBe(times)
    expect(clinic.seen('create')).toMatchObject([{ fault: one.name, answered: status }])
  })

  it.each([
    ['drops before the commit', fault.dropBefore, 0],
    ['drops after the commit', fault.dropAfter, 1],
    ['resets before the commit', fault.resetBefore, 0],
    ['resets after the commit', fault.resetAfter, 1],
    ['cuts the answer off', fault.cutOff, 1],
  ])('%s', async (_, one, times) => {
    clinic.faults.next([one])
    await expect(create()).rejects.toThrow()
    expect(done()).toBe(times)
    expect((await create('b')).status).toBe(201)
  })

  it('commits late, when whoever asked is gone', async () => {
    clinic.faults.next([fault.slow(10, { afterMs: 400 })])
    const gone = fetch(
      `${door === 'socket' ? started?.baseUrl : 'https://clinic.invalid/fhir'}/Observation`,
      {
        method: 'POST',
        headers: { 'content-type': 'application/fhir+json' },
        body: JSON.stringify(observation('a')),
        signal: AbortSignal.timeout(200),
      },
    )
    await expect(gone).rejects.toThrow()
    expect(done()).toBe(0)
    await clinic.quiet()
    expect(done()).toBe(1)
  })

  it('throttles one entry inside a 200, or that and all behind it', async () => {
    clinic.faults.next([fault.entryFails(1, 429)])
    const three = ['a', 'b', 'c'].map((key) => creating(observation(key), key))
    const answer = await client.send('POST', '', transaction(...three))
    const statuses = (body: string) => [...body.matchAll(/"status":"(\d{3})/g)].map(([, digits]) => digits)
    expect([answer.status, statuses(answer.body)]).toEqual([200, ['201', '429', '201']])
    clinic.faults.next([fault.entryFails(1, 503, true)])
    const again = await client.send('POST', '', transaction(...three))
    expect(statuses(again.body)).toEqual(['200', '503', '503'])
  })

  it('fails one entry inside a 200 and takes all back, though it says that the others were made', async () => {
    clinic.faults.next([fault.entryFailsAndNothingIsKept(1, 409)])
    const three = ['a', 'b', 'c'].map((key) => creating(observation(key), key))
    const answer = await client.send('POST', '', transaction(...three))
    expect(JSON.parse(answer.body)).toMatchObject({
      type: 'transaction-response',
      entry: ['201', '409', '201'].map((status) => ({
        response: { status: expect.stringContaining(status) },
      })),
    })
    expect(clinic.ledger.writes).toEqual([])
    expect(clinic.kept.all('Observation')).toEqual([])
  })
})

describe('orders', () => {
  let clinic: HostileClinic
  const ask = async (path: string, method = 'POST') => {
    const unread = { method, path, query: new URLSearchParams(), headers: JSON_HEADERS, body: BODY }
    return (await clinic.handle(unread, 'https://clinic.invalid/fhir')).reply?.status
  }
  const JSON_HEADERS = new Headers({ 'content-type': 'application/fhir+json' })
  const BODY = JSON.stringify(observation('a'))

  beforeEach(() => {
    clinic = new HostileClinic()
  })

  it('are for the writes, unless something else is said', async () => {
    clinic.faults.next([fault.status(500), fault.status(502)])
    clinic.faults.next([fault.status(404)], ['search'])
    expect(await ask('metadata', 'GET')).toBe(200)
    expect([await ask('Observation'), await ask('Observation', 'GET'), await ask('Observation')]).toEqual([
      500, 404, 502,
    ])
    expect([await ask('Observation'), clinic.faults.waiting]).toEqual([201, 0])
  })

  it('strike every n-th request', async () => {
    clinic.faults.every(3, fault.status(503))
    const statuses: (number | undefined)[] = []
    for (let count = 0; count < 6; count += 1) statuses.push(await ask('Observation'))
    expect(statuses).toEqual([201, 201, 503, 201, 201, 503])
    clinic.faults.stop()
    expect(await ask('Observation')).toBe(201)
    expect(await ask('Observation')).toBe(201)
    expect(await ask('Observation')).toBe(201)
  })

  it('strike at random, and the same again for the same seed', async () => {
    const run = async (seed: number) => {
      clinic = new HostileClinic()
      clinic.faults.atRandom(seededRandom(seed).next, [
        { fault: fault.status(500), share: 0.3 },
        { fault: fault.status(429), share: 0.2 },
      ])
      const statuses: (number | undefined)[] = []
      for (let count = 0; count < 100; count += 1) statuses.push(await ask('Observation'))
      return statuses
    }
    const first = await run(1)
    expect(await run(1)).toEqual(first)
    expect(await run(2)).not.toEqual(first)
    const counts = clinic.faultCounts()
    expect((counts.get('500') ?? 0) + (counts.get('429') ?? 0)).toBeGreaterThan(30)
    expect(counts.get('500') ?? 0).toBeLessThan(50)
  })
})
