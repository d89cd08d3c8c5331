import { type LocalDay, localTime } from '../../basics/local-day.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { bySitting } from '../averaging/place-readings.ts'
import { dispositionOf } from '../finding-policy.ts'
import { timeOf } from '../session.ts'
import type { RecordingLeftOutReason, RecordingPlan, RecordingReading } from './recording-average.ts'

/** A reading on the patient's calendar, whether it is of the day or the night not yet decided. */
export type CalendarReading = Omit<RecordingReading, 'part'>

/** Such a reading, and why it cannot count whatever the other readings are; undefined when it can. */
export interface PlacedCandidate {
  readonly placed: CalendarReading
  readonly barredBy: RecordingLeftOutReason | undefined
}

/**
 * Every reading on the patient's calendar, in time order; ties by session id, then by source, then by place in the session.
 */
export function placeRecording(
  plan: RecordingPlan,
  sittings: readonly CheckedSession[],
): readonly PlacedCandidate[] {
  return sittings
    .flatMap((sitting) =>
      sitting.session.readings.map((reading) => {
        const takenMs = timeOf(reading, sitting.session).epochMs
        const { day } = localTime(takenMs, plan.zone)
        const { session, source } = sitting
        const origin = source === undefined ? {} : { source }
        const placed = { session, reading, takenMs, day, ...origin }
        return { placed, barredBy: barredBy(plan, sitting, placed) }
      }),
    )
    .sort((a, b) => inTimeOrder(a.placed, b.placed))
}

/** Whether a local day is one of the plan's. */
export function isInDays({ firstDay, lastDay }: RecordingPlan, day: LocalDay): boolean {
  return firstDay <= day && day <= lastDay
}

function barredBy(
  plan: RecordingPlan,
  { session, findings, withdrawn }: CheckedSession,
  { reading, day }: CalendarReading,
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

function inTimeOrder(a: CalendarReading, b: CalendarReading): number {
  return a.takenMs - b.takenMs || bySitting(a, b) || a.reading.ordinal - b.reading.ordinal
}
