import type { Protocol } from '../protocol/protocol.ts'
import type { LeftOut, PlacedReading, Sufficiency } from './period-average.ts'

/**
 * Whether there was enough to average, days and readings as separate flags: "three days, the first left out, at least
 * twelve readings" cannot all hold with two readings twice a day, so neither flag stands for the other.
 */
export function sufficiency(
  { days, leastReadings }: Protocol,
  used: readonly PlacedReading[],
  leftOut: readonly LeftOut[],
): Sufficiency {
  const usedDays = new Set(used.map(({ day }) => day))
  const byProtocolAlone = leftOut.filter(({ reason }) => reason === 'first-day' || reason === 'first-reading')
  const daysMeasured = new Set([...usedDays, ...byProtocolAlone.map(({ placed }) => placed.day)]).size
  return {
    daysUsed: usedDays.size,
    daysMeasured,
    leastDays: days.least,
    enoughDays: daysMeasured >= days.least,
    readingsUsed: used.length,
    ...(leastReadings === undefined ? {} : { leastReadings }),
    enoughReadings: leastReadings === undefined ? used.length > 0 : used.length >= leastReadings,
  }
}
