import { type LocalDay, type LocalTime, localTime } from '../../basics/local-day.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { bySitting } from '../averaging/place-readings.ts'
import { dispositionOf } from '../finding-policy.ts'
import { minuteOf } from '../protocol/sitting-window.ts'
import { type Session, timeOf } from '../session.ts'
import type {
  DayOrNight,
  RecordingAverage,
  RecordingLeftOutReason,
  RecordingPlan,
  RecordingReading,
} from './recording-average.ts'

/** A reading on the patient's clock, and why it cannot count whatever the other readings are; undefined when it can. */
export interface PlacedCandidate {
  readonly placed: RecordingReading
  readonly barredBy: RecordingLeftOutReason | undefined
}

export interface PlacedRecording {
  readonly candidates: readonly PlacedCandidate[]
  readonly dayAndNightBy: RecordingAverage['dayAndNightBy']
}

/**
 * Puts every reading in day or night: by the times of sleep the patient told, where any session of the recording tells
 * them, otherwise by the rule's hours on the patient's wall clock, clock changes included. In time order; ties by
 * session id, then by source, then by place in the session.
 */
export function placeRecording(plan: RecordingPlan, sittings: readonly CheckedSession[]): PlacedRecording {
  const sleeps = sittings.flatMap((sitting) => diaryOf(plan, sitting) ?? [])
  const partAt = (takenMs: number, { minuteOfDay }: LocalTime): DayOrNight => {
    if (sleeps.length === 0) return partByHours(plan, minuteOfDay)
    const asleep = sleeps.some(({ from, to }) => from.epochMs <= takenMs && takenMs < to.epochMs)
    return asleep ? 'night' : 'day'
  }
  const candidates = sittings.flatMap((sitting) =>
    sitting.session.readings.map((reading) => {
      const takenMs = timeOf(reading, sitting.session).epochMs
      const local = localTime(takenMs, plan.zone)
      const part = partAt(takenMs, local)
      const { session, source } = sitting
      const origin = source === undefined ? {} : { source }
      const placed = { session, reading, takenMs, day: local.day, part, ...origin }
      return { placed, barredBy: barredBy(plan, sitting, placed) }
    }),
  )
  candidates.sort((a, b) => inTimeOrder(a.placed, b.placed))
  return { candidates, dayAndNightBy: sleeps.length === 0 ? 'fixed-hours' : 'diary' }
}

/** The times of sleep that belong to the recordings of these days. */
function diaryOf(plan: RecordingPlan, { session, withdrawn }: CheckedSession): Session['sleep'] {
  if (session.setting !== 'ambulatory' || withdrawn === true) return undefined
  const inDays = session.readings.some((reading) =>
    isInDays(plan, localTime(timeOf(reading, session).epochMs, plan.zone).day),
  )
  return inDays ? session.sleep : undefined
}

function isInDays({ firstDay, lastDay }: RecordingPlan, day: LocalDay): boolean {
  return firstDay <= day && day <= lastDay
}

/** From inclusive, to exclusive; a day that ends past midnight has its end before its start. */
function partByHours({ rule }: RecordingPlan, minuteOfDay: number): DayOrNight {
  const from = minuteOf(rule.day.from)
  const to = minuteOf(rule.day.to)
  const after = from <= minuteOfDay
  const before = minuteOfDay < to
  return (from <= to ? after && before : after || before) ? 'day' : 'night'
}

function barredBy(
  plan: RecordingPlan,
  { session, findings, withdrawn }: CheckedSession,
  { reading, day }: RecordingReading,
): RecordingLeftOutReason | undefined {
  if (withdrawn === true) return 'withdrawn'
  if (!isInDays(plan, day)) return 'outside-period'
  if (session.setting !== 'ambulatory') return 'other-setting'
  // The session's own time stands for its first reading; for a later one nobody knows the hour.
  if (reading.takenAt === undefined && reading.ordinal !== 1) return 'time-missing'
  if (reading.systolic === null || reading.diastolic === null) return 'pressure-missing'
  const excluded = findings.some(
    (finding) =>
      (finding.reading === undefined || finding.reading === reading.ordinal) &&
      dispositionOf(finding, plan.policy ?? {}) === 'exclude',
  )
  return excluded ? 'excluded-by-policy' : undefined
}

function inTimeOrder(a: RecordingReading, b: RecordingReading): number {
  return a.takenMs - b.takenMs || bySitting(a, b) || a.reading.ordinal - b.reading.ordinal
}
