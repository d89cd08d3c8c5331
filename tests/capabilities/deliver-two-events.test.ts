/** Two things go wrong or change at once: the clinic holds each thing once, in its last version, in the right record. */
import { afterEach, describe, expect, it } from 'vitest'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import type { QueuedDelivery } from '../support/queued-delivery.ts'
import { LATER, morning, threeMornings } from '../support/three-mornings.ts'

const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
]

let at: QueuedDelivery
afterEach(() => at.flows.close())

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
}

/** The average of three mornings is queued, with its readings. */
async function averaged(behaviour: Partial<ClinicBehaviour>): Promise<void> {
  at = (await threeMornings({ readings: 'with-average' }, behaviour)).at
  await close()
}

const link = (value: string, destination = 'clinic') =>
  at.flows.enrol('HW-1', { patient: { system: MRN, value }, destination })

/** Status and systolic pressure of all that is at the clinic, whose it is, and that nothing of it is there twice. */
async function atTheEnd() {
  for (let round = 0; round < 6; round += 1) {
    await close()
    await at.deliver()
  }
  const { kept, ledger } = at.clinic.server
  expect(ledger.createdTwice()).toEqual([])
  const ofClinic = (await at.entries()).filter(({ destination }) => destination === 'clinic')
  expect(ofClinic.every(({ state }) => state === 'settled')).toBe(true)
  const all = kept.all('Observation')
  const patients = all.map(({ subject }) => {
    const [, id = ''] = String(Object(subject).reference).split('/')
    return Object(kept.current('Patient', id)).identifier[0].value
  })
  return {
    holds: all.map((one) => `${String(one.status)} ${systolicOf(one)}`).toSorted(),
    whose: new Set(patients),
  }
}

function systolicOf(observation: object): unknown {
  const { component = [] } = observation as { component?: readonly { valueQuantity?: { value: number } }[] }
  return component.find((one) => /8480-6|96608-5/.test(JSON.stringify(one)))?.valueQuantity?.value
}

const AS_MEASURED = [
  'final 138',
  'final 138',
  'final 138',
  'final 139.5',
  'final 141',
  'final 141',
  'final 141',
]
const CORRECTED = [
  'amended 128',
  'amended 131',
  'amended 134.5',
  'final 138',
  'final 138',
  'final 141',
  'final 141',
]

describe.each(SERVERS)('on the rung %s', (_, behaviour) => {
  it('a crash after something was done unheard, and a link to another patient', async () => {
    await averaged(behaviour)
    at.clinic.server.faults.every(3, fault.dropAfter)
    at.clinic.server.faults.next([fault.dropAfter], ({ body }) => body.includes('/average'))
    await at.deliver()
    at.clinic.server.faults.stop()
    await at.flows.restart()
    await link('Q-1')
    expect(await atTheEnd()).toEqual({ holds: AS_MEASURED, whose: new Set(['Q-1']) })
  })

  it('a link to another patient while the average is under way, and back, between lost answers and a restart', async () => {
    await averaged(behaviour)
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes('/average'),
      () => link('Q-1'),
    )
    await at.deliver()
    await close()
    at.clinic.server.faults.next([fault.dropAfter, fault.dropBefore])
    await at.deliver()
    await link('P-HW-1')
    await at.flows.restart()
    await at.flows.correct(morning(3, 131))
    expect(await atTheEnd()).toEqual({ holds: CORRECTED, whose: new Set(['P-HW-1']) })
  })

  it('an average that was done unheard, a move to another clinic, and a correction', async () => {
    await averaged(behaviour)
    at.clinic.server.faults.next([fault.dropAfter])
    await at.deliver()
    at.clinic.rest(LATER)
    await link('Q-1', LATER)
    await at.flows.correct(morning(3, 131))
    expect(await atTheEnd()).toEqual({ holds: CORRECTED, whose: new Set(['P-HW-1']) })
  })

  it('a period that is opened and closed again while its first average is under way', async () => {
    await averaged(behaviour)
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes('/average'),
      async () => {
        await at.flows.correct(morning(3, 131))
        await closeDuePeriods(at.flows.ports)
      },
    )
    await at.deliver()
    expect(await atTheEnd()).toEqual({ holds: CORRECTED, whose: new Set(['P-HW-1']) })
  })

  it('entries that fail inside a 200, a way that is then not offered, and a correction', async () => {
    await averaged(behaviour)
    at.clinic.server.faults.next([fault.entryFails(3, 412, true), fault.status(501)])
    await at.deliver()
    await at.flows.correct(morning(3, 131))
    expect(await atTheEnd()).toEqual({ holds: CORRECTED, whose: new Set(['P-HW-1']) })
  })
})

it('a transaction that is too large, whose second half is done unheard, and a restart', async () => {
  await averaged({ mostEntries: 4 })
  let posts = 0
  at.clinic.server.faults.every(1, fault.dropAfter, ({ kind, body }) => {
    const isTaken = kind === 'transaction' && body.split('"fullUrl"').length <= 5
    if (isTaken) posts += 1
    return isTaken && posts === 2
  })
  expect(await at.deliver()).toMatchObject({ waiting: 1 })
  at.clinic.server.faults.stop()
  await at.flows.restart()
  expect(await atTheEnd()).toEqual({ holds: AS_MEASURED, whose: new Set(['P-HW-1']) })
})
