import { afterEach, expect, it } from 'vitest'
import { followArrivals } from '../../src/flow/follow/follow-arrivals.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { closePeriod } from '../../src/flow/periods/close-period.ts'
import type { Store } from '../../src/flow/ports/ports.ts'
import { openDelivery, type QueuedDelivery, sitting } from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

it('a session that is followed while its period is closed is averaged, though the process dies right after', async () => {
  let meanwhile: (() => Promise<void>) | undefined
  at = await openDelivery({
    around: (store) => ({
      ...store,
      async closePeriod(...closing: Parameters<Store['closePeriod']>) {
        const happens = meanwhile
        meanwhile = undefined
        await happens?.()
        const closed = await store.closePeriod(...closing)
        if (happens !== undefined) throw new Error('the process died')
        return closed
      },
    }),
  })
  await at.flows.enrol('HW-1')
  const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.flows.receive([sitting('s-1')])
  at.later()
  await followArrivals(at.flows.ports)
  meanwhile = async () => {
    await at.flows.receive([sitting('s-2', 'HW-1', 111)])
    await followArrivals(at.flows.ports)
  }
  await expect(closePeriod(period, 'operator', at.flows.ports)).rejects.toThrow('the process died')
  await at.flows.restart()

  at.later()
  await closeDuePeriods(at.flows.ports)
  const { store } = at.flows.ports
  expect(await store.period(period)).toMatchObject({ state: 'closed', revision: 2 })
  const [first, second] = await store.issuedAverages(period)
  expect(second?.summary).not.toBe(first?.summary)
})
