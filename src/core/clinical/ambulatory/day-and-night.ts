import { localTime } from '../../basics/local-day.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { minuteOf } from '../protocol/sitting-window.ts'
import { type Session, timeOf } from '../session.ts'
import { isInDays } from './place-recording.ts'
import type { DayOrNight, RecordingAverage, RecordingPlan } from './recording-average.ts'
import type { RecordingSpan } from './recording-span.ts'

export interface DayAndNight {
  readonly by: RecordingAverage['dayAndNightBy']
  readonly partAt: (takenMs: number) => DayOrNight
}

/**
 * Tells day from night: by the times of sleep the patient told, where any session tells some that reach into the 24
 * hours of the recording, otherwise by the rule's hours on the patient's wall clock, clock changes included. A night
 * told with another recording says nothing of this one.
 */
export function dayAndNight(
  plan: RecordingPlan,
  sittings: readonly CheckedSession[],
  span: RecordingSpan | undefined,
): DayAndNight {
  const sleeps =
    span === undefined
      ? []
      : sittings
          .flatMap((sitting) => diaryOf(plan, sitting) ?? [])
          .filter(({ from, to }) => from.epochMs < span.endMs && span.fromMs < to.epochMs)
  if (sleeps.length === 0) return { by: 'fixed-hours', partAt: (takenMs) => partByHours(plan, takenMs) }
  const isAsleep = (takenMs: number) =>
    sleeps.some(({ from, to }) => from.epochMs <= takenMs && takenMs < to.epochMs)
  return { by: 'diary', partAt: (takenMs) => (isAsleep(takenMs) ? 'night' : 'day') }
}

/** The times of sleep that a recorder worn on these days tells. */
function diaryOf(plan: RecordingPlan, { session, withdrawn }: CheckedSession): Session['sleep'] {
  if (session.setting !== 'ambulatory' || withdrawn === true) return undefined
  const inDays = session.readings.some((reading) =>
    isInDays(plan, localTime(timeOf(reading, session).epochMs, plan.zone).day),
  )
  return inDays ? session.sleep : undefined
}

/** From inclusive, to exclusive; a day that ends past midnight has its end before its start. */
function partByHours({ rule, zone }: RecordingPlan, takenMs: number): DayOrNight {
  const { minuteOfDay } = localTime(takenMs, zone)
  const from = minuteOf(rule.day.from)
  const to = minuteOf(rule.day.to)
  const after = from <= minuteOfDay
  const before = minuteOfDay < to
  return (from <= to ? after && before : after || before) ? 'day' : 'night'
}
