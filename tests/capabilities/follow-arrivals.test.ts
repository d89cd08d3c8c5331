/** Following up what came in may break off between any two steps: done again, it comes to the same. */
import { afterEach, describe, expect, it } from 'vitest'
import { StoreFailed } from '../../src/core/basics/gateway-error.ts'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { Store } from '../../src/flow/ports/ports.ts'
import { type OpenFlows, openFlows } from '../support/open-flows.ts'
import { rawRecord } from '../support/raw-record.ts'

let flows: OpenFlows
afterEach(() => flows.close())

/** Calls of the store that change something while arrivals are followed. */
const STEPS = ['reopenPeriod', 'raiseAttention', 'markFollowed'] as const

/** A store of which the n-th of those calls is done, and the answer lost; or not done at all. */
function breakingOff(store: Store, nth: number, isDone: boolean): Store {
  let calls = 0
  const breaking = { ...store }
  for (const step of STEPS) {
    const real = store[step] as (...given: unknown[]) => Promise<unknown>
    Object.assign(breaking, {
      async [step](...given: unknown[]) {
        calls += 1
        if (calls === nth && !isDone) throw new StoreFailed('broken off before')
        const answer = await real(...given)
        if (calls === nth) throw new StoreFailed('broken off after')
        return answer
      },
    })
  }
  return breaking
}

function irregular(id: string, subject: string, day: number) {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  const monitorSays = { irregularPulse: true }
  return rawRecord({
    id,
    subject,
    takenAt,
    readings: [{ takenAt, systolic: 128, diastolic: 80, pulse: 70, monitorSays }],
  })
}

/** Two people with a closed period each, for whom something came late. */
async function startWithArrivals(): Promise<void> {
  flows = await openFlows({ now: '2026-04-01T00:00:00Z' })
  for (const subject of ['HW-1', 'HW-2']) {
    await flows.enrol(subject)
    await flows.receive([irregular(`${subject}-1`, subject, 3)])
    await flows.openPeriod(subject, '2026-03-02', 7)
  }
  expect(await closeDuePeriods(flows.ports)).toBe(2)
  for (const subject of ['HW-1', 'HW-2']) await flows.receive([irregular(`${subject}-2`, subject, 4)])
}

/** What following up comes to: open periods, and calls with how often each stands in the queue. */
async function outcome() {
  const periods = await flows.ports.store.periodPage({ limit: 10 })
  const entries = await flows.ports.store.deliveryPage({ limit: 100 })
  const calls = entries.flatMap(({ kind, part, about }) => (kind === 'attention' ? [`${about} ${part}`] : []))
  return {
    open: periods.filter(({ state }) => state === 'open').length,
    calls: calls.length,
    distinct: new Set(calls).size,
  }
}

describe('following up what came in', () => {
  it('opens the periods it falls into and raises what it asks for, and finds nothing to do the second time', async () => {
    await startWithArrivals()
    expect(await followArrivals(flows.ports)).toEqual({ reopened: 2, raised: 2 })
    expect(await outcome()).toEqual({ open: 2, calls: 2, distinct: 2 })
    expect(await followArrivals(flows.ports)).toEqual({ reopened: 0, raised: 0 })
    expect(await flows.ports.store.unfollowed(1)).toBeUndefined()
  })

  it.each(
    [1, 2, 3, 4, 5].flatMap((nth) => [
      { nth, isDone: false },
      { nth, isDone: true },
    ]),
  )('comes to the same when step $nth breaks off, done or not ($isDone)', async ({ nth, isDone }) => {
    await startWithArrivals()
    const breaking = { ...flows.ports, store: breakingOff(flows.ports.store, nth, isDone) }
    await expect(followArrivals(breaking)).rejects.toThrow(StoreFailed)
    await followArrivals(flows.ports)
    expect(await outcome()).toEqual({ open: 2, calls: 2, distinct: 2 })
    expect(await flows.ports.store.unfollowed(1)).toBeUndefined()
  })

  it('up to a place ends there, though more comes in all the while', async () => {
    await startWithArrivals()
    const { store } = flows.ports
    let looks = 0
    const busy: Store = {
      ...store,
      unfollowed: async (limit) => {
        const arrivals = await store.unfollowed(limit)
        looks += 1
        const takenAt = '2026-03-05T19:00:00-07:00'
        const readings = [{ takenAt, systolic: 131, diastolic: 81 }]
        await flows.receive([rawRecord({ id: `more-${looks}`, subject: 'HW-1', takenAt, readings })])
        return arrivals
      },
    }
    const place = await store.newestSeq()
    expect(await followArrivals({ ...flows.ports, store: busy }, place)).toMatchObject({ reopened: 2 })
    expect(looks).toBe(1)
  })

  it('twice at the same time raises and opens each thing once', async () => {
    await startWithArrivals()
    const both = await Promise.all([followArrivals(flows.ports), followArrivals(flows.ports)])
    expect(both.reduce((sum, { reopened }) => sum + reopened, 0)).toBe(2)
    expect(both.reduce((sum, { raised }) => sum + raised, 0)).toBe(2)
    expect(await outcome()).toEqual({ open: 2, calls: 2, distinct: 2 })
  })

  it('leaves a period alone that was closed with everything that came in', async () => {
    await startWithArrivals()
    await closeDuePeriods(flows.ports)
    expect(await followArrivals(flows.ports)).toEqual({ reopened: 0, raised: 0 })
    expect((await outcome()).open).toBe(0)
    expect((await flows.ports.store.figures()).averages).toBe(4)
  })

  it('goes on with the others when one person’s kept session can no longer be read', async () => {
    await startWithArrivals()
    const { store } = flows.ports
    const damaged: Store = {
      ...store,
      sessionsBetween: async (source, subject, fromMs, toMs) =>
        (await store.sessionsBetween(source, subject, fromMs, toMs)).map((one) =>
          subject === 'HW-1' ? { ...one, raw: '{"canary": 141}' } : one,
        ),
    }
    await followArrivals({ ...flows.ports, store: damaged })
    expect(await outcome()).toEqual({ open: 2, calls: 1, distinct: 1 })
    expect(flows.log.lines.map(({ event }) => event)).toEqual(['attention-not-looked-for'])
    expect(JSON.stringify(flows.log.lines)).not.toMatch(/canary|141|HW-1/)
  })
})
