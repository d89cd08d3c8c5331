import { historySpanMs } from '../../core/clinical/attention/history-span.ts'
import { sittingsOnce } from '../../core/clinical/attention/sittings-once.ts'
import type { ReadStored } from '../check/read-stored.ts'
import type { Ports } from '../ports/ports.ts'
import { heldOf, readAll } from './period-sittings.ts'
import type { Person } from './person.ts'

/**
 * A person's sessions that bear on those in a span of time, read and checked, in time order: as far back as a session
 * looks that one of them looks back to, and as far on as others look back to one of them. What was withdrawn is not
 * among them, and a sitting that came through two sources is among them once.
 *
 * @param fromMs first and last moment of the span, epoch ms, ends included.
 * @param about UUID of the session that is looked at, which stands before the same one of another source.
 * @throws OwnFault when one can no longer be read.
 */
export async function nearbySessions(
  person: Person,
  fromMs: number,
  toMs: number,
  at: Pick<Ports, 'store' | 'policy'>,
  about?: string,
): Promise<readonly ReadStored[]> {
  const span = historySpanMs(at.policy.attention)
  const held = await heldOf(person, fromMs - 2 * span, toMs + span + 1, at)
  const standing = held.filter(({ withdrawn }) => !withdrawn)
  return sittingsOnce(readAll(standing, person, at), ({ stored }) => stored.uuid === about)
}
