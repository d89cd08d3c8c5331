import { instantOf } from '../../core/basics/instant.ts'
import type { DeliveryFilter, Ports } from '../ports/ports.ts'
import { type Steered, steerDelivery } from './steer-delivery.ts'

/** Puts one delivery back in the queue, as far as it is given up or parked. */
export function retryDelivery(id: number, actor: string, at: Ports): Promise<Steered> {
  return steerDelivery(id, 'release', at, async () => (await retryDeliveries({ id }, actor, at)) > 0)
}

/** Puts given-up and parked deliveries back in the queue, those that are meant. Returns how many. */
export async function retryDeliveries(
  which: DeliveryFilter & { readonly id?: number },
  actor: string,
  at: Ports,
): Promise<number> {
  const nowMs = at.clock.now()
  const { id, state, destination, source, kind, problem, queuedBeforeMs } = which
  return at.store.retryDeliveries(which, nowMs, {
    at: instantOf(nowMs).text,
    actor,
    action: 'delivery-retried',
    about: id === undefined ? (destination ?? '') : String(id),
    outcome: 'done',
    detail: {
      ...(state === undefined ? {} : { state }),
      ...(destination === undefined ? {} : { destination }),
      ...(source === undefined ? {} : { source }),
      ...(kind === undefined ? {} : { kind }),
      ...(problem === undefined ? {} : { problem }),
      ...(queuedBeforeMs === undefined ? {} : { queuedBefore: instantOf(queuedBeforeMs).text }),
    },
  })
}
