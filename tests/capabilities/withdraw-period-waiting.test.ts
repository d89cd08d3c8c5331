/**
 * A period that is withdrawn while its amended average waits: what that said of the readings reaches the clinic all the
 * same.
 */
import { afterEach, describe, expect, it } from 'vitest'
import { averageUuid } from '../../src/core/fhir/identifiers.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { withdrawPeriod } from '../../src/flow/periods/withdraw-period.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import { type QueuedDelivery, readingOf } from '../support/queued-delivery.ts'
import { LATER, morning, threeMornings } from '../support/three-mornings.ts'

const SERVERS: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
]

let at: QueuedDelivery
afterEach(() => at.flows.close())

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
}

/**
 * The clinic has an average with its readings; one session is corrected and one taken back, and the amended one is queued.
 */
async function amended(behaviour: Partial<ClinicBehaviour>): Promise<string> {
  const mornings = await threeMornings({ readings: 'with-average' }, behaviour)
  at = mornings.at
  await close()
  await at.deliver()
  await at.flows.correct(morning(3, 131))
  await at.flows.withdraw('s-4')
  await close()
  return mornings.period
}

const newest = (uuid: string) => at.clinic.server.holding(uuid)[0]?.at(-1)?.resource
const statusOf = (id: string, ordinal = 1) => newest(readingOf(id, ordinal))?.status

async function settled(): Promise<void> {
  for (let round = 0; round < 4; round += 1) await at.deliverLater()
  expect((await at.entries()).every(({ state }) => state === 'settled')).toBe(true)
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
}

describe.each(SERVERS)('on the rung %s', (_, behaviour) => {
  it.each<readonly [string, Fault]>([
    ['was put off', fault.status(429)],
    ['was done unheard', fault.dropAfter],
    ['was never done', fault.dropBefore],
  ])('where that %s', async (__, happens) => {
    const period = await amended(behaviour)
    at.clinic.server.faults.next([happens])
    await at.deliver()
    await withdrawPeriod(period, 'operator', at.flows.ports)
    await settled()
    expect(newest(averageUuid(period))?.status).toBe('entered-in-error')
    expect([1, 2].map((ordinal) => statusOf('s-2', ordinal))).toEqual(['final', 'final'])
    expect([1, 2].map((ordinal) => statusOf('s-3', ordinal))).toEqual(['amended', 'amended'])
    expect([1, 2].map((ordinal) => statusOf('s-4', ordinal))).toEqual([
      'entered-in-error',
      'entered-in-error',
    ])
    expect(JSON.stringify(newest(readingOf('s-3', 2)))).toContain('"value":128')
  })

  it('where the person moved on from that clinic meanwhile', async () => {
    const period = await amended(behaviour)
    at.clinic.rest(LATER)
    at.clinic.server.faults.next([fault.status(429)])
    await at.deliver()
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
    await withdrawPeriod(period, 'operator', at.flows.ports)
    at.later()
    await at.deliver()
    expect(newest(averageUuid(period))?.status).toBe('entered-in-error')
    expect([statusOf('s-3', 2), statusOf('s-4')]).toEqual(['amended', 'entered-in-error'])
  })
})
