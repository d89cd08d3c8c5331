/** Servers that pass over the parameters of a condition take what they hold of a type for what is to be made. */
import { afterEach, describe, expect, it } from 'vitest'
import { retryDelivery } from '../../src/flow/operate/retry-deliveries.ts'
import { toldDelivery } from '../../src/flow/operate/told-delivery.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { type ChangingDestinations, changingDestinations } from '../support/changing-destinations.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import type { ClinicResource } from '../support/hostile-clinic/clinic-resource.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
let destinations: ChangingDestinations
afterEach(() => at.flows.close())

const ANYTHING = { conditionSelects: 'anything' } as const
const FIRST_OF_SEVERAL = { ...ANYTHING, severalMatches: 'first-taken' } as const
const WITHOUT_OWN_IDS = { updateCreate: false } as const
/** It does not say which resource it takes for what is to be made. */
const UNNAMED = { location: 'missing', etag: false, writtenBody: 'never' } as const

/** How a server does it, and the rung it is served on once it was noticed. */
const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>, string])[] = [
  ['in a transaction', ANYTHING, 'own-id'],
  ['in a transaction, the first of several', FIRST_OF_SEVERAL, 'own-id'],
  ['in a transaction, without ids of ours', { ...ANYTHING, ...WITHOUT_OWN_IDS }, 'search-first'],
  ['in a transaction, without a name', { ...FIRST_OF_SEVERAL, ...UNNAMED }, 'own-id'],
  ['singly', { ...ANYTHING, transaction: 'off' }, 'own-id'],
  ['singly, without a name', { ...ANYTHING, ...UNNAMED, transaction: 'off' }, 'own-id'],
  [
    'singly, the first of several, without ids of ours',
    { ...FIRST_OF_SEVERAL, ...WITHOUT_OWN_IDS, transaction: 'off' },
    'search-first',
  ],
]

async function start(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  destinations = changingDestinations()
  const { catalogue } = destinations
  at = await openDelivery({ played: { behaviour }, ...options, catalogue })
}

/** The average of a week of one session for each subject, one delivered after the other. */
async function deliverAverages(...subjects: readonly string[]): Promise<void> {
  for (const subject of subjects) {
    await at.flows.enrol(subject)
    await at.flows.openPeriod(subject, '2026-03-02', 7)
    const device = { manufacturer: 'Lumen', model: 'A1', serial: `L-${subject}` }
    await at.flows.receive([{ ...sitting(`of-${subject}`, subject), device }])
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
  }
}

/** One session of each of two patients, on the same monitor, one delivered after the other. */
async function deliverSessions(): Promise<void> {
  await queueSessions(at, 'HW-1', ['s-1'])
  await at.deliver()
  await queueSessions(at, 'HW-2', ['s-2'])
  await at.deliver()
}

async function areSettled(): Promise<void> {
  expect((await at.entries()).map(({ state }) => state)).toEqual(['settled', 'settled'])
}

function everyReadingIsThereOnce(): void {
  for (const id of ['s-1', 's-2'])
    for (const ordinal of [1, 2]) expect(at.clinic.server.holding(readingOf(id, ordinal))).toHaveLength(1)
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
}

describe.each(SERVERS)(
  'a server that takes anything for what a condition means, %s',
  (_, behaviour, rung) => {
    it('gets the averages of two patients, each once, and neither is taken for the other', async () => {
      await start(behaviour, { destination: { readings: 'never' } })
      await deliverAverages('HW-1', 'HW-2')
      await areSettled()
      const averages = at.clinic.server.kept.all('Observation')
      expect(averages).toHaveLength(2)
      expect(new Set(averages.map(({ subject }) => JSON.stringify(subject))).size).toBe(2)
      const rows = await at.flows.ports.store.auditPage({ limit: 100 })
      expect(rows.findLast(({ action }) => action === 'route-chosen')?.detail).toMatchObject({ rung })
    })
  },
)

it.each([
  ['with ids of ours', {}],
  ['without', WITHOUT_OWN_IDS],
])(
  'nothing is left beside another person’s monitor where a server takes any for it: %s',
  async (_, behaviour) => {
    await start(
      { ...behaviour, conditionSelects: 'any-device', severalMatches: 'first-taken' },
      { destination: { readings: 'with-average' } },
    )
    await deliverAverages('HW-1', 'HW-2')
    await areSettled()
    const { kept } = at.clinic.server
    for (const observation of kept.all('Observation'))
      expect({ of: observation.id, elsewhere: leadingToAnother(observation) }).toEqual({
        of: observation.id,
        elsewhere: [],
      })
    const targets = kept.all('Provenance').flatMap(({ target }) => referencesIn(target))
    expect(targets).toHaveLength(new Set(targets).size)
  },
)

/** What an Observation refers to that is of another patient: readings, or a monitor, which is of one patient here. */
function leadingToAnother({ subject, device, derivedFrom }: ClinicResource): readonly string[] {
  const { kept } = at.clinic.server
  const [patient = ''] = referencesIn(subject)
  const [identifier] = referencesTo(patient)
  const number = JSON.stringify(identifier).replace(/^.*P-(HW-\d).*$/, '$1')
  const readings = referencesIn(derivedFrom).filter((one) => {
    const [reading] = referencesTo(one)
    return referencesIn(reading?.subject)[0] !== patient
  })
  const monitors = referencesIn(device).filter(
    (one) => !JSON.stringify(referencesTo(one)).includes(`L-${number}`),
  )
  return [...readings, ...monitors]

  function referencesTo(place: string): readonly ClinicResource[] {
    const [type = '', id = ''] = place.split('/')
    return [kept.current(type, id)].flatMap((one) => one ?? [])
  }
}

function referencesIn(value: unknown): readonly string[] {
  return [...JSON.stringify(value ?? {}).matchAll(/"reference":"([^"]+)"/g)].map(
    ([, reference = '']) => reference,
  )
}

it.each([
  ['in a transaction', FIRST_OF_SEVERAL],
  ['singly', { ...FIRST_OF_SEVERAL, transaction: 'off' } as const],
  ['singly, and refuses several', { ...ANYTHING, transaction: 'off' } as const],
])('a server that takes anything gets each reading once: %s', async (_, behaviour) => {
  await start(behaviour)
  await deliverSessions()
  await areSettled()
  everyReadingIsThereOnce()
})

it('where it takes what it holds for several, its operator is told what to do, and each reading comes once', async () => {
  await start(ANYTHING)
  await deliverSessions()
  const [, second] = await at.entries()
  if (second === undefined) throw new Error('nothing is queued')
  expect(toldDelivery(second)).toMatchObject({
    state: 'given-up',
    problem: {
      code: 'CLINIC_DUPLICATES',
      remedy: expect.stringContaining('name the rung search-first for the destination, then retry'),
    },
  })
  destinations.change({ rung: 'search-first' })
  await retryDelivery(second.id, 'operator', at.flows.ports)
  await at.deliver()
  await areSettled()
  everyReadingIsThereOnce()
})

it('nothing more is sent where the operator named transactions', async () => {
  await start(ANYTHING, { destination: { readings: 'never', rung: 'transaction' } })
  await deliverAverages('HW-1', 'HW-2')
  expect(await at.entries()).toMatchObject([
    { state: 'settled' },
    { state: 'waiting', lastProblem: 'CLINIC_IGNORES_CONDITIONS' },
  ])
})

it('one that lets nobody read is believed, as nothing says otherwise', async () => {
  await start({ read: false })
  await queueSessions(at, 'HW-1', ['s-1', 's-2'])
  expect(await at.deliver()).toMatchObject({ settled: 2 })
})
