import type { Session } from '../session.ts'
import type { AttentionLimits } from './attention-limits.ts'

/** Whether the monitor marked the pulse of at least one reading as irregular: several in a sitting are one sitting. */
export function hasIrregularPulse({ readings }: Session): boolean {
  return readings.some(({ monitorSays }) => monitorSays?.irregularPulse === true)
}

const MS_PER_DAY = 86_400_000

/**
 * Whether enough of the sittings lie within the limit's days of each other, by the time each began. Days are of 24
 * hours: how far apart two sittings are does not depend on a time zone.
 *
 * @param including a moment that has to lie within those days, epoch ms; absent: any such days will do.
 */
export function areRepeated(
  sittings: readonly Session[],
  { sittings: least, withinDays }: AttentionLimits['irregularPulse'],
  including?: number,
): boolean {
  const moments = sittings.map(({ takenAt }) => takenAt.epochMs)
  return moments.some((first) => {
    const last = first + withinDays * MS_PER_DAY
    if (including !== undefined && (including < first || including > last)) return false
    return moments.filter((moment) => moment >= first && moment <= last).length >= least
  })
}
