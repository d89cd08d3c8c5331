import { describe, expect, it } from 'vitest'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { GroupedDeliveries } from './grouped-deliveries.ts'
import type { DeliveryWrite } from './outbox/delivery-writes.ts'
import type { Writer } from './writer.ts'

const keep = (destination: string): DeliveryWrite => ({
  call: 'keepHeld',
  from: { id: 1, destination, source: 'app', subject: 'HW-1', kind: 'session', about: 's' },
  held: { shared: [] },
})

/** A writer that notes which calls came together, and fails those that name a destination it cannot write to. */
function noted(): { readonly groups: (readonly string[])[]; readonly deliveries: GroupedDeliveries } {
  const groups: (readonly string[])[] = []
  const call = async (_name: string, writes: readonly DeliveryWrite[]) => {
    const names = writes.map((write) => (write.call === 'keepHeld' ? write.from.destination : write.call))
    groups.push(names)
    if (names.includes('broken')) throw new StoreFailed('no')
    return writes.map(() => ({ claimed: [], done: true }))
  }
  // only the one call of the port that is made here is played
  const writer = { call, close: async () => undefined } as unknown as Writer
  return { groups, deliveries: new GroupedDeliveries(writer) }
}

describe('GroupedDeliveries', () => {
  it('puts calls of the same moment into one commit, in the order they were made', async () => {
    const { groups, deliveries } = noted()
    const answers = await Promise.all(['a', 'b', 'c'].map((name) => deliveries.write(keep(name))))
    expect(answers).toEqual(Array.from({ length: 3 }, () => ({ claimed: [], done: true })))
    expect(groups).toEqual([['a', 'b', 'c']])
  })

  it('makes each call alone when the shared commit fails, so that only the one at fault fails', async () => {
    const { groups, deliveries } = noted()
    const calls = ['a', 'broken', 'c'].map((name) => deliveries.write(keep(name)))
    expect((await Promise.allSettled(calls)).map(({ status }) => status)).toEqual([
      'fulfilled',
      'rejected',
      'fulfilled',
    ])
    expect(groups).toEqual([['a', 'broken', 'c'], ['a'], ['broken'], ['c']])
  })

  it('does not try a call again that failed alone', async () => {
    const { groups, deliveries } = noted()
    await expect(deliveries.write(keep('broken'))).rejects.toMatchObject({ code: 'STORE_FAILED' })
    expect(groups).toEqual([['broken']])
  })

  it('takes nothing more once it is closed', async () => {
    const { deliveries } = noted()
    const last = deliveries.write(keep('a'))
    await deliveries.close()
    expect(await last).toEqual({ claimed: [], done: true })
    await expect(deliveries.write(keep('b'))).rejects.toMatchObject({ code: 'STORE_FAILED' })
  })
})
