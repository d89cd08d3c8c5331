import { instantOf } from '../../core/basics/instant.ts'
import type { Period } from '../../core/registry/period.ts'
import type { Ports } from '../ports/ports.ts'

/**
 * Opens a closed period again: due at once, unless it was closed by hand before its grace was over; then it waits for
 * that. Resolves to whether it was closed.
 */
export function reopenPeriod(
  period: Period,
  { store, clock }: Pick<Ports, 'store' | 'clock'>,
): Promise<boolean> {
  const nowMs = clock.now()
  return store.reopenPeriod(period.id, Math.max(nowMs, period.dueMs), {
    at: instantOf(nowMs).text,
    actor: 'gateway',
    action: 'period-reopened',
    about: period.id,
    outcome: 'done',
    detail: { protocol: period.protocol, revision: period.revision },
  })
}
