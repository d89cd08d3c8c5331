import type { AttentionLimits } from './attention-limits.ts'

/**
 * How far before a session others can bear on a call for attention about it, in milliseconds: the longest that the
 * limits look back, and no less than a day.
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
