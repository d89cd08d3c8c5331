import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { OutboxState } from '../../core/outbox/entry.ts'
import { mayCome } from '../../core/outbox/may-come-from.ts'
import type { Delivery, Ports } from '../ports/ports.ts'

/** Whether one delivery was retried or confirmed, or why not. */
export type Steered =
  | { readonly ok: true }
  | {
      readonly ok: false
      /** `NOT_FOUND`, or `OTHER_STATE`; `at` is `id`. */
      readonly issue: Issue
      /** The state it is in; absent when there is no such delivery. */
      readonly state?: OutboxState
    }

/**
 * Does something with one delivery that a person can do only in some states, be it to retry or to confirm it.
 *
 * @param act false where it was in another state by then: it is looked at again.
 */
export async function steerDelivery(
  id: number,
  change: 'release' | 'confirm',
  { store }: Pick<Ports, 'store'>,
  act: (delivery: Delivery) => Promise<boolean>,
): Promise<Steered> {
  for (let tries = 0; tries < TRIES; tries += 1) {
    const delivery = await store.delivery(id)
    if (delivery === undefined) return { ok: false, issue: NO_SUCH_DELIVERY }
    const { state } = delivery
    if (!mayCome(change, state)) return { ok: false, issue: otherState(state), state }
    if (await act(delivery)) return { ok: true }
  }
  throw new Error(`delivery ${id} was in another state each time it was to be changed`)
}

/** Somebody else may change it at the same moment, but not for ever. */
const TRIES = 5

export const NO_SUCH_DELIVERY = inputError(
  'not-found',
  'NOT_FOUND',
  'id',
  'the id of a delivery',
  'List deliveries, and check the id.',
)

function otherState(state: OutboxState): Issue {
  const expected = `a delivery that is given up or parked, and this one is ${state}`
  return inputError('conflict', 'OTHER_STATE', 'id', expected, WHAT_THEN[state])
}

const WHAT_THEN: Readonly<Record<OutboxState, string>> = {
  waiting: 'Wait: it is tried by itself when its turn comes.',
  claimed: 'Wait: it is being tried.',
  settled: 'None needed: the clinic has it.',
  parked: 'Retry or confirm it.',
  'given-up': 'Retry or confirm it.',
}
