/** What a gateway that goes on from a copy brings where the lost store had sent another version of the same. */
import type { Observation } from 'fhir/r4.js'
import { afterEach, describe, expect, it } from 'vitest'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { copyStore } from '../../src/shell/store/copies/copy-store.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { asked } from '../support/played-clinic.ts'
import {
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'
import { rawRecord } from '../support/raw-record.ts'

let at: QueuedDelivery
let copy: string
afterEach(() => at.flows.close())

async function start(
  behaviour: Partial<ClinicBehaviour> = {},
  destination: Readonly<Record<string, unknown>> = {},
): Promise<void> {
  at = await openDelivery({ played: { behaviour }, destination })
  copy = `${at.flows.file}-copy`
  await at.flows.enrol('HW-1')
}

const takeCopy = () => copyStore(at.flows.file, copy)

/** One reading in the morning of a day. */
function morning(day: number, systolic = 141) {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  return rawRecord({
    id: `s-${day}`,
    subject: 'HW-1',
    takenAt,
    readings: [{ takenAt, systolic, diastolic: 80 }],
  })
}

async function close(): Promise<void> {
  at.later(FORTNIGHT_MS)
  await closeDuePeriods(at.flows.ports)
}

const FORTNIGHT_MS = 14 * 86_400_000

/** Status and systolic value of each Observation under a LOINC code, in versions that stand now. */
function standing(code: '85354-9' | '96607-7'): readonly unknown[] {
  const kept: readonly Observation[] = JSON.parse(JSON.stringify(at.clinic.server.kept.all('Observation')))
  return kept
    .filter((one) => one.code.coding?.some((coding) => coding.code === code))
    .map(({ status, component }) => [status, component?.[0]?.valueQuantity?.value])
}

const doubles = () => at.clinic.server.ledger.createdTwice()

const RUNGS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

describe.each(RUNGS)('after a loss, by %s', (_rung, behaviour) => {
  it('an average of more than the lost store’s takes its place', async () => {
    await start(behaviour)
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([2, 3].map((day) => morning(day)))
    takeCopy()
    await at.flows.receive([morning(4)])
    await close()
    await at.deliver()
    expect(standing('96607-7')).toEqual([['final', 141]])

    await at.flows.restart(copy)
    await at.flows.receive([morning(4), morning(5, 191)])
    await close()
    await at.deliverLater()
    // The first day does not count.
    expect(standing('96607-7')).toEqual([['final', 157.7]])
    expect(doubles()).toEqual([])
  })

  it('a session that is sent again as it was corrected takes its place', async () => {
    await start(behaviour)
    takeCopy()
    await at.flows.receive([morning(4)])
    await at.deliver()
    await at.flows.restart(copy)
    await at.flows.receive([morning(4, 131)])
    // Nor does a first attempt that fails make it as old as the lost store.
    at.clinic.server.faults.next([fault.dropBefore])
    expect(await at.deliverLater()).toMatchObject({ waiting: 1 })
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(standing('85354-9')).toEqual([['final', 131]])
    expect(doubles()).toEqual([])
  })

  it.each(['at-once', 'with-average'])(
    'an average’s readings (%s) stand as it was made of them',
    async (readings) => {
      await start(behaviour, { readings })
      await at.flows.openPeriod('HW-1', '2026-03-02', 7)
      takeCopy()
      await at.flows.receive([2, 3, 4].map((day) => morning(day)))
      await close()
      await at.deliver()
      await at.flows.restart(copy)
      await at.flows.receive([morning(2), morning(3), morning(4, 131)])
      await close()
      await at.deliverLater()
      expect(standing('96607-7')).toEqual([['final', 136]])
      expect(standing('85354-9')).toEqual([
        ['final', 141],
        ['final', 141],
        ['final', 131],
      ])
      expect(doubles()).toEqual([])
    },
  )

  it('what was queued before the copy was made takes the place of nothing that came later', async () => {
    await start(behaviour)
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([2, 3, 4].map((day) => morning(day)))
    await close()
    takeCopy()
    await at.flows.receive([morning(5, 191)])
    await close()
    await at.deliver()
    const newest = standing('96607-7')
    expect(newest).toEqual([['amended', 157.7]])

    await at.flows.restart(copy)
    await at.deliverLater()
    expect(standing('96607-7')).toEqual(newest)
    expect(doubles()).toEqual([])
  })

  it.each([
    ['made', fault.dropAfter, 0],
    ['not made', fault.dropBefore, OF_A_SITTING],
  ] as const)('what was in doubt and %s is looked for', async (_what, happens, made) => {
    await start(behaviour)
    await queueSessions(at, 'HW-1', ['s-1'])
    at.clinic.server.faults.every(1, happens)
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    takeCopy()
    at.clinic.server.faults.stop()
    await at.flows.restart(copy)
    const before = at.clinic.server.requests.length
    const brought = await at.deliverLater()
    expect(brought).toMatchObject({ settled: 1 })
    if (behaviour.transaction === undefined) expect(brought.created).toBe(made)
    const [first] = asked(at.clinic.server.requests.slice(before)).filter((path) =>
      path.includes('Observation'),
    )
    expect(first).toBe('GET Observation')
    expect(doubles()).toEqual([])
  })

  it('what was under way as the copy was made is looked for', async () => {
    await start(behaviour)
    await queueSessions(at, 'HW-1', ['s-1'])
    at.clinic.meanwhile(({ method, path }) => method !== 'GET' && !path.includes('_search'), takeCopy)
    await at.deliver()
    await at.flows.restart(copy)
    await at.flows.receive([sitting('s-2')])
    for (let round = 1; round <= 2; round += 1) await at.deliverLater()
    expect((await at.entries()).map(({ state }) => state)).toEqual(['settled', 'settled'])
    expect(doubles()).toEqual([])
  })
})
