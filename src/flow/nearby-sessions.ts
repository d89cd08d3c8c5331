import { historySpanMs } from '../core/clinical/attention/history-span.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Ports } from './ports.ts'
import { type ReadStored, readStored } from './read-stored.ts'

/**
 * A person's sessions that bear on those in a span of time, read and checked, in time order: as far back as a session
 * looks that one of them looks back to, and as far on as others look back to one of them. What was withdrawn is not
 * among them.
 *
 * @param fromMs first and last moment of the span, epoch ms, ends included.
 * @throws OwnFault when one can no longer be read.
 */
export async function nearbySessions(
  enrolment: Enrolment,
  fromMs: number,
  toMs: number,
  at: Pick<Ports, 'store' | 'policy'>,
): Promise<readonly ReadStored[]> {
  const span = historySpanMs(at.policy.attention)
  const { source, subject } = enrolment
  const held = await at.store.sessionsBetween(source, subject, fromMs - 2 * span, toMs + span + 1)
  return held.filter(({ withdrawn }) => !withdrawn).map((one) => readStored(one, enrolment, at))
}
