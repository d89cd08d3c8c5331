/** Whose average is whose where a person moves between clinics: each gets what was issued for it, in its last version. */
import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import type { QueuedDelivery } from '../support/queued-delivery.ts'
import { LATER, morning, threeMornings } from '../support/three-mornings.ts'

let at: QueuedDelivery
beforeEach(async () => {
  at = (await threeMornings()).at
})
afterEach(() => at.flows.close())

const moveAway = () => at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' }, destination: LATER })
const moveBack = () => at.flows.enrol('HW-1')

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
}

/** Each average that was queued, in order: for whom, and what became of it. */
const queued = async () =>
  (await at.entries()).flatMap(({ kind, destination, part, state }) =>
    kind === 'average' ? [`${destination} ${part} ${state}`] : [],
  )

describe('a person who was linked to another clinic by mistake, and back', () => {
  it('has the average that was issued meanwhile issued for the right clinic', async () => {
    await moveAway()
    await close()
    await moveBack()
    await close()
    await at.deliver()
    expect(await queued()).toEqual([`${LATER} 1 settled`, `${DESTINATION} 2 settled`])
  })

  it('has it amended there where it was amended meanwhile', async () => {
    await close()
    await moveAway()
    await at.flows.correct(morning(3, 131))
    await close()
    await moveBack()
    await close()
    await at.deliver()
    expect(await queued()).toEqual([
      `${DESTINATION} 1 settled`,
      `${LATER} 2 settled`,
      `${DESTINATION} 3 settled`,
    ])
  })

  it('has nothing more sent where the right clinic had been issued what still holds', async () => {
    await close()
    await moveAway()
    await close()
    await moveBack()
    await close()
    await at.deliver()
    expect(await queued()).toEqual([`${DESTINATION} 1 settled`, `${LATER} 2 settled`])
  })

  it('has the average sent that could not be delivered before, and no other clinic’s in its place', async () => {
    await close()
    await moveAway()
    await close()
    const issued = await at.flows.ports.store.issuedAverages((await at.entries()).at(-1)?.about ?? '')
    expect(issued.map(({ destination }) => destination)).toEqual([DESTINATION, LATER])
    await at.deliver()
    const averages = at.clinic.posted.filter(({ text }) => text.includes('/average"'))
    const there = averages.filter(({ patient }) => patient === 'P-HW-1')
    expect(there.map(({ text }) => text)).toEqual([issued[0]?.bundle])
  })
})

it('an average that was given up does not go over the one that amended it, once the person moved', async () => {
  await close()
  await at.deliver()
  await at.flows.correct(morning(3, 131))
  await close()
  at.clinic.server.faults.every(1, fault.status(422), ({ kind }) => kind === 'transaction')
  await at.deliver()
  at.clinic.server.faults.stop()
  await at.flows.correct(morning(4, 121))
  await close()
  await at.deliver()
  const [, , amended] = await at.flows.ports.store.issuedAverages((await at.entries()).at(-1)?.about ?? '')
  await moveAway()
  await retryDeliveries({ state: 'given-up', kind: 'average' }, 'operator', at.flows.ports)
  await at.deliver()
  const texts = at.clinic.posted.map(({ text }) => text).filter((text) => text.includes('/average"'))
  expect(amended?.revision).toBe(3)
  expect(texts.at(-1)).toContain(String(amended?.issued))
})
