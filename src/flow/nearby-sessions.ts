import type { AttentionLimits } from '../core/clinical/attention/attention-limits.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Ports } from './ports.ts'
import { type ReadStored, readStored } from './read-stored.ts'

/**
 * How far before and after a session others can bear on a call for attention about it, in milliseconds: the longest
 * that the limits look back, and no less than a day.
 */
export function historySpanMs({ irregularPulse, fallOnStanding }: AttentionLimits): number {
  return Math.max(
    MS_PER_DAY,
    irregularPulse.withinDays * MS_PER_DAY,
    fallOnStanding.withinMinutes * MS_PER_MINUTE,
  )
}

const MS_PER_DAY = 86_400_000
const MS_PER_MINUTE = 60_000

/**
 * A person's sessions that bear on those in a span of time, read and checked, in time order. What was withdrawn is not
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
  const held = await at.store.sessionsBetween(source, subject, fromMs - span, toMs + span + 1)
  return held.filter(({ withdrawn }) => !withdrawn).map((one) => readStored(one, enrolment, at))
}
