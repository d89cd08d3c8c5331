import { instantOf } from '../../core/basics/instant.ts'
import type { Ports } from '../ports/ports.ts'

/**
 * A person saw in the clinic's record what a given-up or parked delivery was to bring: it is settled. False when there is
 * no such delivery in one of these states.
 */
export async function confirmDelivery(id: number, actor: string, at: Ports): Promise<boolean> {
  return at.store.confirmDelivery(id, {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'delivery-confirmed',
    about: String(id),
    outcome: 'done',
    detail: {},
  })
}
