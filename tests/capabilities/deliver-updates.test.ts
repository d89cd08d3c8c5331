/** What was corrected or withdrawn is brought up to date where it stands, over nobody else's change. */
import { afterEach, describe, expect, it } from 'vitest'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import {
  NOTHING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

/** A session is there, and its correction is queued. */
async function corrected(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour }, ...options })
  await queueSessions(at)
  await at.deliver()
  await at.flows.correct(sitting('s-1', 'HW-1', 131))
}

const versionsOf = (ordinal: number) => at.clinic.server.holding(readingOf('s-1', ordinal))
const newest = (ordinal = 1): Readonly<Record<string, unknown>> =>
  versionsOf(ordinal)[0]?.at(-1)?.resource ?? {}

function systolicOf({ component }: Readonly<Record<string, unknown>>): unknown {
  const parts = component as readonly {
    readonly code: object
    readonly valueQuantity?: { readonly value: number }
  }[]
  return parts.find(({ code }) => JSON.stringify(code).includes('8480-6'))?.valueQuantity?.value
}

describe.each(SERVERS)('on the rung %s', (rung, behaviour) => {
  it('a correction is the same resource in a new version', async () => {
    await corrected(behaviour)
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(versionsOf(1)).toHaveLength(1)
    expect(newest()).toMatchObject({ status: 'amended' })
    expect(systolicOf(newest())).toBe(131)
  })

  it('a withdrawal leaves it entered in error, with its numbers', async () => {
    at = await openDelivery({ played: { behaviour } })
    await queueSessions(at)
    await at.deliver()
    await at.flows.withdraw('s-1')
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(newest()).toMatchObject({ status: 'entered-in-error' })
    expect(systolicOf(newest())).toBe(141)
  })

  it('what stands there just as it should gets no further version', async () => {
    await corrected(behaviour)
    await at.flows.correct(sitting('s-1', 'HW-1', 121))
    // Both corrections tell what is held now, and the second finds it there.
    expect(await at.deliver()).toMatchObject({ settled: 2, updated: 2 })
    expect(versionsOf(1)[0]?.map(({ resource }) => systolicOf(resource ?? {}))).toEqual([141, 121])
  })

  it('what someone changed between the reading and the writing is read again', async () => {
    await corrected(behaviour)
    const held = newest()
    let times = 0
    const isUpdate = ({ method, body = '' }: { method: string; body?: string }) =>
      method === 'PUT' || body.includes('ifMatch')
    at.clinic.meanwhile(isUpdate, () => {
      times += 1
      at.clinic.server.putBehindBack({
        ...held,
        resourceType: 'Observation',
        identifier: [
          ...(held.identifier as object[]),
          { system: 'https://clinic.example/own', value: 'theirs' },
        ],
      })
    })
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(times).toBe(1)
    expect(systolicOf(newest())).toBe(131)
    // What the clinic added to identify it stays.
    expect(newest().identifier).toContainEqual({ system: 'https://clinic.example/own', value: 'theirs' })
  })

  it('one that is overtaken each time is put off, not forced', async () => {
    await corrected(behaviour)
    at.clinic.server.faults.every(
      1,
      fault.status(412),
      ({ kind, body }) => kind === 'update' || body.includes('ifMatch'),
    )
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(systolicOf(newest())).toBe(141)
    at.clinic.server.faults.stop()
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(systolicOf(newest())).toBe(131)
  })

  it('one that was done and not heard of is not done twice over', async () => {
    await corrected(behaviour)
    at.clinic.server.faults.next(
      [fault.dropAfter],
      ({ kind, body }) => kind === 'update' || body.includes('ifMatch'),
    )
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(versionsOf(1)).toHaveLength(1)
    expect(systolicOf(newest())).toBe(131)
    // Where references are read as they stand there, it is seen that nothing is left to do.
    if (rung !== 'transaction') expect(versionsOf(1)[0]).toHaveLength(2)
  })

  it('one of a session that the clinic does not hold makes it', async () => {
    at = await openDelivery({ played: { behaviour } })
    await queueSessions(at)
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    // Both entries tell what is held now, and the second finds it there.
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    expect(versionsOf(1)).toHaveLength(1)
    expect(systolicOf(newest())).toBe(131)
  })

  it('what the clinic deleted is not brought back', async () => {
    await corrected(behaviour)
    const { id } = newest()
    if (rung === 'transaction') {
      at.clinic.meanwhile(
        ({ body = '' }) => body.includes('ifMatch'),
        () => at.clinic.server.deleteBehindBack('Observation', String(id)),
      )
    } else at.clinic.server.deleteBehindBack('Observation', String(id))
    await at.deliver()
    expect(await at.entries()).toMatchObject([{}, { state: 'given-up', lastProblem: 'CLINIC_DELETED' }])
  })
})

describe('a server that takes no update', () => {
  const LAST_WAYS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
    ['transaction', { update: false }],
    ['conditional-create', { update: false, transaction: 'off' }],
    ['search-first', { update: false, transaction: 'off', conditionalCreate: false, updateCreate: false }],
  ]

  describe.each(LAST_WAYS)('on the rung %s', (_, behaviour) => {
    it('leaves an amendment to a person', async () => {
      await corrected(behaviour)
      expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
      expect(await at.entries()).toMatchObject([{}, { state: 'parked', lastProblem: 'CLINIC_CANNOT_UPDATE' }])
      expect(systolicOf(newest())).toBe(141)
      // Once the clinic lets us, a retry does it.
      at.clinic.server.behave({ update: true })
      at.later(2 * 86_400_000)
      expect(await retryDeliveries({ problem: 'CLINIC_CANNOT_UPDATE' }, 'operator', at.flows.ports)).toBe(1)
      expect(await at.deliver()).toMatchObject({ settled: 1 })
      expect(systolicOf(newest())).toBe(131)
    })

    it('is sent an amendment as new where the destination says so, once, naming what it replaces', async () => {
      await corrected(behaviour, { destination: { cannotUpdate: 'send-as-new' } })
      const replaced = newest().id
      at.clinic.server.faults.next(
        [fault.dropAfter],
        ({ kind }) => kind === 'transaction' || kind === 'create',
      )
      await at.deliver()
      expect(await at.deliverLater()).toMatchObject({ settled: 1 })
      expect(at.clinic.server.ledger.createdTwice()).toEqual([])
      const replacements = at.clinic.server.kept
        .all('Observation')
        .filter((one) => JSON.stringify(one).includes('observation-replaces'))
      expect(replacements).toHaveLength(2)
      expect(JSON.stringify(replacements)).toContain(`Observation/${String(replaced)}`)
      expect(replacements.map(systolicOf).toSorted()).toEqual([128, 131])
      expect(systolicOf(newest())).toBe(141)
    })

    it.each(['park', 'send-as-new'] as const)(
      'is not sent again what it holds just so: %s',
      async (cannotUpdate) => {
        at = await openDelivery({ played: { behaviour }, destination: { cannotUpdate } })
        await queueSessions(at)
        await at.flows.correct(sitting('s-1', 'HW-1', 131))
        // Both entries tell what is held now, and the second finds it there.
        expect(await at.deliver()).toMatchObject({ settled: 2, created: 4, alreadyThere: 4 })
        expect(at.clinic.server.kept.all('Observation')).toHaveLength(2)
      },
    )

    it('is told with each amendment that it replaces the newest one', async () => {
      await corrected(behaviour, { destination: { cannotUpdate: 'send-as-new' } })
      await at.deliver()
      at.later()
      await at.flows.correct(sitting('s-1', 'HW-1', 121))
      at.clinic.server.faults.next(
        [fault.dropAfter],
        ({ kind }) => kind === 'transaction' || kind === 'create',
      )
      await at.deliver()
      at.later()
      // What the unheard attempt made is replaced too, when it is amended before it is heard of.
      await at.flows.correct(sitting('s-1', 'HW-1', 111))
      await at.deliverLater()
      const all = at.clinic.server.kept
        .all('Observation')
        .filter((one) => /^(?:141|131|121|111)$/.test(String(systolicOf(one))))
      const chain = all.map((one) => {
        const replaced = /"Observation\/([^"]+)"/.exec(JSON.stringify(one.extension ?? []))?.[1]
        const of = all.find(({ id }) => id === replaced)
        return [systolicOf(one), of && systolicOf(of)]
      })
      expect(chain).toEqual([
        [141, undefined],
        [131, 141],
        [121, 131],
        [111, 121],
      ])
    })

    it('leaves a withdrawal to a person all the same', async () => {
      at = await openDelivery({ played: { behaviour }, destination: { cannotUpdate: 'send-as-new' } })
      await queueSessions(at)
      await at.deliver()
      await at.flows.withdraw('s-1')
      expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
      expect(await at.entries()).toMatchObject([{}, { lastProblem: 'CLINIC_CANNOT_UPDATE' }])
    })
  })
})

describe('a type that the server cannot create', () => {
  it.each([
    ['together', {}],
    ['singly', { transaction: 'off' }],
  ] as const)('is left out, and named by its identifier; written %s', async (_, behaviour) => {
    at = await openDelivery({
      played: { behaviour: { ...behaviour, ofType: { Device: 'not-served', Provenance: 'not-served' } } },
    })
    await queueSessions(at)
    expect(await at.deliver()).toEqual({ ...NOTHING, settled: 1, created: 2 })
    expect(newest().device).toEqual({
      type: 'Device',
      identifier: {
        system: expect.stringContaining('device'),
        value: expect.stringMatching(/^[\da-f-]{36}$/),
      },
    })
  })

  it('is left out too when only trying shows it', async () => {
    at = await openDelivery({
      played: {
        behaviour: {
          transaction: 'off',
          ofType: { Provenance: 'not-served' },
          stated: { types: ['Patient', 'Device', 'Observation', 'Provenance'] },
        },
      },
    })
    await queueSessions(at)
    // One answer may be a stray one: it is asked once more.
    expect(await at.deliver()).toEqual({ ...NOTHING, waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(at.clinic.server.kept.all('Observation')).toHaveLength(2)
    expect(await at.flows.ports.store.route('clinic')).toMatchObject({ ruledOut: [] })
  })
})
