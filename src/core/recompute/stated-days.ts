import { isCalendarDayText, readInstant } from '../basics/instant.ts'
import { isJsonObject } from '../basics/json-object.ts'
import { daysBetween } from '../basics/local-day.ts'
import type { Arm } from '../clinical/session.ts'
import { textOf } from './found.ts'
import type { TimedReading } from './readings/bundle-readings.ts'
import { dayOnClockOf, dayOnOwnClock } from './readings/own-clock.ts'
import type { FoundAverage } from './stated/find-averages.ts'
import { MOST_DAYS, type OwnStatements } from './stated/own-statements.ts'

/** The days an average is of, and on whose clock. */
export interface StatedDays {
  readonly firstDay: string
  readonly lastDay: string
  /** Undefined where none is said: then each reading goes by its own offset. */
  readonly zone?: string
  readonly arm?: Arm
  /** Where an end of the period has a time of day, no reading counts beyond it, epoch ms. */
  readonly fromMs?: number
  readonly toMs?: number
}

/** The days by our own extension; else those of the effective period; else those of the readings. */
export function statedDays(
  { average }: FoundAverage,
  own: OwnStatements | undefined,
  listed: readonly TimedReading[],
  zone: string | undefined,
): StatedDays | undefined {
  if (own !== undefined && zone !== undefined) {
    const { firstDay, lastDay, arm } = own
    return { firstDay, lastDay, zone, ...(arm === undefined ? {} : { arm }) }
  }
  const { effectivePeriod } = average.value
  const period = isJsonObject(effectivePeriod) ? effectivePeriod : {}
  const inOrder = listed.toSorted((a, b) => a.takenAt.epochMs - b.takenAt.epochMs)
  const days = listed.map(({ takenAt }) => dayOnOwnClock(takenAt)).sort()
  const start = endIn(period.start, inOrder[0])
  const end = endIn(period.end, inOrder.at(-1))
  const [firstDay, lastDay] = [start?.day ?? days[0], end?.day ?? days.at(-1)]
  if (firstDay === undefined || lastDay === undefined) return undefined
  const length = daysBetween(firstDay, lastDay)
  if (length < 0 || length >= MOST_DAYS) return undefined
  return {
    firstDay,
    lastDay,
    ...(start?.epochMs === undefined ? {} : { fromMs: start.epochMs }),
    ...(end?.epochMs === undefined ? {} : { toMs: end.epochMs }),
  }
}

/**
 * An end of the period: a day, or a moment and its day. That is the day it is written with where it is written as the
 * first or last minute of one; another hour tells that it was written on another clock than the patient’s, as in UTC,
 * and then it is the day on the clock of the reading next to it.
 */
function endIn(
  value: unknown,
  nearest: TimedReading | undefined,
): { readonly day: string; readonly epochMs?: number } | undefined {
  const text = textOf(value)
  const day = text?.slice(0, 10)
  if (text === undefined || day === undefined || !isCalendarDayText(day)) return undefined
  if (text === day) return { day }
  const instant = readInstant(text)
  if (instant === undefined) return undefined
  const isWholeDay = nearest === undefined || /T(?:00:00|23:59)/.test(text)
  return { day: isWholeDay ? day : dayOnClockOf(nearest.takenAt, instant), epochMs: instant.epochMs }
}
