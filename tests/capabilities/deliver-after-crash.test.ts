/** What a process had claimed that died: in doubt is what it had begun, where nobody can be asked about it. */
import { afterEach, expect, it } from 'vitest'
import type { Store } from '../../src/flow/ports/ports.ts'
import { DIED, type MortalStore, mortalStore } from '../support/mortal-store.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
} from '../support/queued-delivery.ts'

const SUBJECTS = ['HW-1', 'HW-2', 'HW-3', 'HW-4']
const LEASE_MS = 60_000

let at: QueuedDelivery
let mortal: MortalStore
let marks = 0
afterEach(() => {
  marks = 0
  return at.flows.close()
})

/** One delivery at a time; the process of a store can die, after which nothing reaches the file. */
async function start(destination: Readonly<Record<string, unknown>>, behaviour = {}): Promise<void> {
  mortal = mortalStore()
  const around = (store: Store): Store =>
    mortal.around({
      ...store,
      begin: (claim) => {
        marks += 1
        return store.begin(claim)
      },
    })
  const delivery = { leaseMs: LEASE_MS, timeoutMs: 1_000, inFlight: 1 }
  at = await openDelivery({ played: { behaviour }, destination, delivery, around })
  for (const subject of SUBJECTS) await queueSessions(at, subject, [`of-${subject}`])
}

const CREATE_ONLY = { rung: 'create-only', patient: { by: 'identifier-only' } }

const isCreate = ({ method, path }: { readonly method: string; readonly path: string }) =>
  method === 'POST' && path !== ''

/** The process dies while the first create of the second patient is at the server. */
async function dieInTheSecond(): Promise<void> {
  at.clinic.meanwhile(
    (request) => isCreate(request) && (request.body ?? '').includes('P-HW-2'),
    async () => {
      // What is at the server now is known to be begun, whatever happens next.
      expect(await at.flows.ports.store.delivery(2)).toMatchObject({ state: 'claimed', begun: true })
      mortal.die()
    },
  )
  await expect(at.deliver()).rejects.toThrow(DIED)
  mortal.beginAgain()
}

it('one that was begun is left to a person, and what was only claimed ahead is sent', async () => {
  await start(CREATE_ONLY)
  await dieInTheSecond()
  expect(await at.entries()).toMatchObject([
    { state: 'settled' },
    { state: 'claimed', begun: true },
    { state: 'claimed', begun: false },
    { state: 'claimed', begun: false },
  ])
  // The monitor is that of the first, which got there.
  const ofTwo = { settled: 2, created: 2 * (OF_A_SITTING - 1), alreadyThere: 2 }
  expect(await at.deliverLater(LEASE_MS)).toEqual({ ...NOTHING, ...ofTwo, parked: 1 })
  expect((await at.entries()).map(({ state, lastProblem }) => lastProblem ?? state)).toEqual([
    'settled',
    'OUTCOME_UNKNOWN',
    'settled',
    'settled',
  ])
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})

it('one whose request could not leave, or was answered, is in no doubt after a death in its next claim', async () => {
  await start(CREATE_ONLY)
  at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE' }, { problem: 'CLINIC_UNREACHABLE' })
  await at.deliver()
  const { store, clock } = at.flows.ports
  at.later()
  await store.claim(clock.now(), LEASE_MS, 10, { marked: ['clinic'] })
  expect(await at.deliverLater(LEASE_MS)).toMatchObject({ parked: 0, waiting: 0 })
  expect((await at.entries()).every(({ state }) => state === 'settled')).toBe(true)
})

it('an entry of a destination that is served otherwise by now is marked before it is sent', async () => {
  await start({ patient: { by: 'identifier-only' } })
  const { store } = at.flows.ports
  const { claim } = store
  Object.assign(store, {
    claim: (...[nowMs, leaseMs, limit, asked]: Parameters<Store['claim']>) =>
      claim(nowMs, leaseMs, limit, { ...asked, marked: ['clinic'] }),
  })
  expect(await at.deliver()).toMatchObject({ settled: 4 })
  expect(marks).toBe(4)
})

it('one that was claimed before it was known that nobody can be asked is sent, for nothing of it was', async () => {
  const search = 'off'
  const cannotBeAsked = { transaction: 'off', conditionalCreate: false, updateCreate: false, search }
  await start({ patient: { by: 'identifier-only' } }, cannotBeAsked)
  at.clinic.meanwhile(
    ({ path }) => path === 'metadata',
    () => {
      mortal.die()
    },
  )
  await expect(at.deliver()).rejects.toThrow(DIED)
  mortal.beginAgain()
  expect(await at.entries()).toMatchObject(Array(4).fill({ state: 'claimed', begun: false }))
  expect(await at.deliverLater(LEASE_MS)).toMatchObject({ settled: 4, parked: 0 })
  expect(await at.flows.ports.store.route('clinic')).toMatchObject({ used: ['create-only'] })
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})

it('so is one that was claimed while a server without a statement could still be searched', async () => {
  await start({ patient: { by: 'identifier-only' } }, { statement: 'missing', search: 'off' })
  at.clinic.meanwhile(
    ({ path }) => path.startsWith('Device'),
    () => {
      mortal.die()
    },
  )
  await expect(at.deliver()).rejects.toThrow(DIED)
  mortal.beginAgain()
  expect(await at.deliverLater(LEASE_MS)).toMatchObject({ settled: 4, parked: 0 })
  expect(await at.flows.ports.store.route('clinic')).toMatchObject({ used: ['create-only'] })
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})

it('on every other rung nothing is marked, once it is known: an entry counts as begun when it is claimed', async () => {
  await start({})
  expect(await at.deliver()).toMatchObject({ settled: 4 })
  expect(marks).toBe(4)
  for (const subject of SUBJECTS) await queueSessions(at, subject, [`more-of-${subject}`])
  expect(await at.deliver()).toMatchObject({ settled: 4 })
  expect(marks).toBe(4)
  expect((await at.entries()).every(({ begun }) => begun)).toBe(true)
})
