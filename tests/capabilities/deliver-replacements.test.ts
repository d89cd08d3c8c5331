/** What was sent as new while a server took no update is taken back once it takes some: one of each stands. */
import { afterEach, describe, expect, it } from 'vitest'
import { confirmDelivery } from '../../src/flow/operate/confirm-delivery.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { withdrawPeriod } from '../../src/flow/periods/withdraw-period.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'

const NO_UPDATE = { update: false, conditionalUpdate: false }
const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', NO_UPDATE],
  ['conditional-create', { ...NO_UPDATE, transaction: 'off' }],
  ['search-first', { ...NO_UPDATE, transaction: 'off', conditionalCreate: false, updateCreate: false }],
]
const DAYS = 86_400_000

let at: QueuedDelivery
afterEach(() => at.flows.close())

/** A correction is there as a new Observation beside the first; from now on the server takes updates. */
async function replaced(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({
    played: { behaviour, patients: ['P-HW-1', 'Q-1'] },
    destination: { cannotUpdate: 'send-as-new' },
    ...options,
  })
  await queueSessions(at)
  await at.deliver()
  await at.flows.correct(sitting('s-1', 'HW-1', 131))
  await at.deliver()
  expect(standing()).toEqual([128, 131, 138, 141])
  at.clinic.server.behave({ update: true })
  at.later(2 * DAYS)
}

function onDay(day: number, systolic: number) {
  const text = JSON.stringify(sitting(`s-${day}`, 'HW-1', systolic))
  return JSON.parse(text.replaceAll('2026-03-02', `2026-03-0${day}`))
}

/** Systolic pressures of what stands at the clinic, the lowest first. */
function standing(): readonly number[] {
  const all = at.clinic.server.kept.all('Observation').filter(({ status }) => status !== 'entered-in-error')
  return all.map(systolicOf).toSorted((one, other) => one - other)
}

function systolicOf(observation: object): number {
  const { component = [] } = observation as { component?: readonly { valueQuantity?: { value: number } }[] }
  const part = component.find((one) => /8480-6|96608-5/.test(JSON.stringify(one)))
  return part?.valueQuantity?.value ?? Number.NaN
}

describe.each(SERVERS)('on the rung %s', (_, behaviour) => {
  it('a correction leaves itself standing alone', async () => {
    await replaced(behaviour)
    await at.flows.correct(sitting('s-1', 'HW-1', 121))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 4 })
    expect(standing()).toEqual([118, 121])
    await at.flows.correct(sitting('s-1', 'HW-1', 111))
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(standing()).toEqual([108, 111])
  })

  it('a withdrawal leaves nothing standing', async () => {
    await replaced(behaviour)
    await at.flows.withdraw('s-1')
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(standing()).toEqual([])
  })

  it('nothing stands in a record that was another patient’s', async () => {
    await replaced(behaviour)
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' } })
    expect(await at.deliver()).toMatchObject({ settled: 1, parked: 0 })
    expect(standing()).toEqual([128, 131])
    const wrong = at.clinic.server.kept
      .all('Patient')
      .find(({ identifier }) => JSON.stringify(identifier).includes('P-HW-1'))
    const inWrong = at.clinic.server.kept
      .all('Observation')
      .filter((one) => JSON.stringify(one.subject).includes(String(wrong?.id)))
    expect(new Set(inWrong.map(({ status }) => status))).toEqual(new Set(['entered-in-error']))
  })

  it('what went unheard is done once, and what the clinic removed is left', async () => {
    await replaced(behaviour)
    const [removed] = at.clinic.server.kept.all('Observation').filter((one) => systolicOf(one) === 128)
    at.clinic.server.deleteBehindBack('Observation', String(removed?.id))
    await at.flows.withdraw('s-1')
    at.clinic.server.faults.next([fault.dropAfter], ['transaction', 'update'])
    await at.deliver()
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    expect(standing()).toEqual([])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('an average that is withdrawn does not stand', async () => {
    at = await openDelivery({
      played: { behaviour },
      destination: { readings: 'never', cannotUpdate: 'send-as-new' },
    })
    await at.flows.enrol('HW-1')
    const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([onDay(3, 141), onDay(4, 141)])
    const close = async () => {
      at.later()
      await closeDuePeriods(at.flows.ports)
      await at.deliver()
    }
    await close()
    await at.flows.correct(onDay(4, 131))
    await close()
    expect(standing()).toEqual([129.5, 139.5])
    at.clinic.server.behave({ update: true })
    at.later(2 * DAYS)
    await withdrawPeriod(period, 'operator', at.flows.ports)
    expect(await at.deliver()).toMatchObject({ settled: 1, updated: 2 })
    expect(standing()).toEqual([])
  })
})

describe('a replacement that a person saw', () => {
  const CREATE_ONLY = {
    ...NO_UPDATE,
    transaction: 'off',
    conditionalCreate: false,
    updateCreate: false,
  } as const

  it('is not brought again by an average, and is the one that the next replaces', async () => {
    at = await openDelivery({
      played: { behaviour: { ...CREATE_ONLY, search: 'off' } },
      destination: { cannotUpdate: 'send-as-new', patient: { by: 'identifier-only' } },
    })
    await at.flows.enrol('HW-1')
    await at.flows.openPeriod('HW-1', '2026-03-02', 7)
    await at.flows.receive([onDay(3, 141), onDay(4, 141)])
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
    await at.flows.correct(onDay(4, 131))
    // The last of its readings.
    at.clinic.server.faults.next(
      [fault.dropAfter],
      ({ path, body }) => path === 'Observation' && /"value":128\b/.test(body),
    )
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    const stuck = (await at.entries()).find(({ state }) => state === 'parked')
    expect(stuck).toMatchObject({ lastProblem: 'OUTCOME_UNKNOWN' })
    expect(await confirmDelivery(stuck?.id ?? 0, 'operator', at.flows.ports)).toEqual({ ok: true })
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
    expect(standing()).toEqual([128, 129.5, 131, 138, 138, 139.5, 141, 141])

    await at.flows.correct(onDay(4, 121))
    await at.deliver()
    const [before, after] = [128, 118].map((systolic) =>
      at.clinic.server.kept.all('Observation').find((one) => systolicOf(one) === systolic),
    )
    const { identifier: [own] = [] } = before as { identifier?: readonly { readonly value: string }[] }
    expect(JSON.stringify(after?.extension)).toContain(own?.value)
  })
})
