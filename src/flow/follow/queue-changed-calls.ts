import { historySpanMs } from '../../core/clinical/attention/history-span.ts'
import { heldOf } from '../person/period-sittings.ts'
import type { Person } from '../person/person.ts'
import type { ArrivedPerson, Ports } from '../ports/ports.ts'

/**
 * Queues the calls for attention that rest on a session that was corrected or withdrawn, for each clinic that was queued
 * one about a session near it. A clinic that takes no readings by themselves was never queued the session, and would go on
 * being called to what no longer stands. May be repeated.
 */
export async function queueChangedCalls(
  { changed, fromMs, toMs }: ArrivedPerson,
  person: Person,
  at: Pick<Ports, 'store' | 'policy' | 'clock' | 'catalogue'>,
): Promise<void> {
  const { store, policy, clock, catalogue } = at
  const spanMs = historySpanMs(policy.attention)
  const near = await heldOf(person, fromMs - spanMs, toMs + spanMs + 1, at)
  for (const destination of catalogue.destinations.keys()) {
    const calls = await Promise.all(near.map(({ uuid }) => store.queuedCalls(destination, uuid)))
    if (calls.every((codes) => codes.length === 0)) continue
    for (const uuid of changed) await store.queueCallsOn(uuid, destination, clock.now())
  }
}
