import { fault } from '../support/hostile-clinic/fault.ts'
import type { FaultShare } from '../support/hostile-clinic/fault-orders.ts'
import type { SettingsTimes } from './chaos-settings.ts'

/**
 * What goes wrong, and how often. A delivery in one transaction is one request, or a few; singly it is dozens, each of
 * which can go wrong.
 *
 * @param share of all requests that are hit, 0 to 1.
 */
export function chaosFaults(share: number, { timeoutMs, quietMs }: SettingsTimes): readonly FaultShare[] {
  const total = WEIGHTS.reduce((sum, [weight]) => sum + weight, 0)
  return WEIGHTS.map(([weight, make]) => ({
    fault: make(timeoutMs, quietMs),
    share: (share * weight) / total,
  }))
}

/** A server may commit what nobody waits for any more, but not after it was left alone for as long as the settings say. */
const WEIGHTS = [
  [4, () => fault.dropBefore],
  [6, () => fault.dropAfter],
  [2, () => fault.resetBefore],
  [2, () => fault.resetAfter],
  [2, () => fault.cutOff],
  [3, () => fault.status(429)],
  [2, () => fault.status(503, { retryAfter: '1' })],
  [1, () => fault.status(500, { form: 'text' })],
  [1, () => fault.status(502, { form: 'page' })],
  [2, () => fault.status(504, { form: 'page', doneAllTheSame: true })],
  [1, () => fault.status(409, { code: 'conflict' })],
  [2, (timeoutMs) => fault.slow(timeoutMs * 1.5)],
  [3, (timeoutMs, quietMs) => fault.slow(timeoutMs * 1.2, { afterMs: timeoutMs + quietMs * 0.5 })],
  [1, (timeoutMs) => fault.slow(timeoutMs * 1.2, 'never')],
  [2, () => fault.wrongBody],
  [1, () => fault.wrongBodyUndone],
  [2, () => fault.truncatedJson],
  [1, () => fault.page(200, true)],
  [1, () => fault.emptyBody],
  [1, () => fault.accepted('now')],
  [1, () => fault.entryFails(1, 409)],
  [1, () => fault.entryFailsAndNothingIsKept(1, 409)],
] as const satisfies readonly (readonly [
  number,
  (timeoutMs: number, quietMs: number) => FaultShare['fault'],
])[]
