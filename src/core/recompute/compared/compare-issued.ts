import { isCalendarDayText, readInstant } from '../../basics/instant.ts'
import { isJsonObject } from '../../basics/json-object.ts'
import { type Found, textOf } from '../found.ts'
import type { AverageDifference } from '../recomputed-average.ts'

/**
 * When an average was issued beside its period. This gateway waits until the period is over. Others may issue theirs on
 * its last day, whenever that day begins on their clock, and not before; what is `preliminary` or `registered` may be
 * issued at any time.
 */
export function compareIssued(
  { value: { issued, effectivePeriod, status }, at }: Found,
  isOurs: boolean,
): readonly AverageDifference[] {
  if (status === 'preliminary' || status === 'registered') return []
  const found = textOf(issued)
  const end = isJsonObject(effectivePeriod) ? textOf(effectivePeriod.end) : undefined
  const issuedMs = found === undefined ? undefined : readInstant(found)?.epochMs
  if (found === undefined || end === undefined || issuedMs === undefined) return []
  const leastMs = (isOurs ? readInstant(end)?.epochMs : undefined) ?? lastDayBegins(end)
  if (leastMs === undefined || issuedMs >= leastMs) return []
  const expected = `no earlier than ${isOurs ? 'the end' : 'the last day'} of the period, ${end}`
  return [{ what: 'time of issue', at: `${at}.issued`, expected, found }]
}

/** Epoch ms; of a mere day, where it begins first on Earth. */
function lastDayBegins(end: string): number | undefined {
  const day = end.slice(0, 10)
  if (!isCalendarDayText(day)) return undefined
  if (end === day) return Date.parse(`${day}T00:00:00+14:00`)
  const offset = /Z|[+-]\d\d:\d\d$/.exec(end.slice(10))?.[0]
  return offset === undefined ? undefined : readInstant(`${day}T00:00:00${offset}`)?.epochMs
}
