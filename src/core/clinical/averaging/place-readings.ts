import { localTime } from '../../basics/local-day.ts'
import { windowOf } from '../protocol/sitting-window.ts'
import { timeOf } from '../session.ts'
import type { CheckedSession, PeriodPlan, PlacedReading } from './period-average.ts'

/**
 * Puts each reading on the patient's calendar: its local day in the plan's zone and the sitting window it fell in.
 *
 * Each reading goes by its own time, and by the sitting's when it has none: a sitting that runs past midnight or past
 * the end of a window belongs to both sides. The result is in time order whatever the order of arrival; ties go by
 * session id, then by place in the sitting.
 */
export function placeReadings(
  plan: PeriodPlan,
  sittings: readonly CheckedSession[],
): readonly PlacedReading[] {
  return sittings
    .flatMap((sitting) => placeSitting(plan, sitting))
    .sort((a, b) => a.epochMs - b.epochMs || byText(a.placed, b.placed) || byOrdinal(a.placed, b.placed))
    .map(({ placed }) => placed)
}

function placeSitting(
  { protocol, zone }: PeriodPlan,
  { session, findings }: CheckedSession,
): { placed: PlacedReading; epochMs: number }[] {
  return session.readings.map((reading) => {
    const { epochMs } = timeOf(reading, session)
    const { day, minuteOfDay } = localTime(epochMs, zone)
    const techniqueFindings = findings
      .filter(({ kind, reading: at }) => kind === 'technique' && (at === undefined || at === reading.ordinal))
      .map(({ code }) => code)
    const window = windowOf(minuteOfDay, protocol.sittings)?.name
    return { placed: { session, reading, day, window, techniqueFindings }, epochMs }
  })
}

function byText(a: PlacedReading, b: PlacedReading): number {
  if (a.session.id === b.session.id) return 0
  return a.session.id < b.session.id ? -1 : 1
}

function byOrdinal(a: PlacedReading, b: PlacedReading): number {
  return a.reading.ordinal - b.reading.ordinal
}
