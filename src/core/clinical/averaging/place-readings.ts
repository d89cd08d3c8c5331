import { localTime } from '../../basics/local-day.ts'
import type { Finding, FindingCode } from '../finding.ts'
import { type Disposition, dispositionOf } from '../finding-policy.ts'
import { windowOf } from '../protocol/sitting-window.ts'
import { type Reading, timeOf } from '../session.ts'
import type { CheckedSession, PeriodPlan, PlacedReading } from './period-average.ts'

/**
 * Puts each reading on the patient's calendar: its local day in the plan's zone and the sitting window it fell in; and
 * beside it what the clinic's policy makes of the findings that concern it.
 *
 * Each reading goes by its own time, and by the sitting's when it has none: a sitting that runs past midnight or past
 * the end of a window belongs to both sides. The result is in time order whatever the order of arrival; ties go by
 * session id, then by source, then by place in the sitting.
 */
export function placeReadings(
  plan: PeriodPlan,
  sittings: readonly CheckedSession[],
): readonly PlacedReading[] {
  return sittings
    .flatMap((sitting) => placeSitting(plan, sitting))
    .sort((a, b) => a.epochMs - b.epochMs || bySitting(a.placed, b.placed) || byOrdinal(a.placed, b.placed))
    .map(({ placed }) => placed)
}

function placeSitting(
  { protocol, zone, policy = {} }: PeriodPlan,
  { session, findings, withdrawn = false, receivedMs, source }: CheckedSession,
): { placed: PlacedReading; epochMs: number }[] {
  return session.readings.map((reading) => {
    const { epochMs } = timeOf(reading, session)
    const { day, minuteOfDay } = localTime(epochMs, zone)
    const codesThat = (disposition: Disposition) =>
      codesOf(findings, reading, (finding) => dispositionOf(finding, policy) === disposition)
    const placed: PlacedReading = {
      session,
      reading,
      day,
      window: windowOf(minuteOfDay, protocol.sittings)?.name,
      flagged: codesThat('flag'),
      excludedFor: codesThat('exclude'),
      withdrawn,
      ...(receivedMs === undefined ? {} : { receivedMs }),
      ...(source === undefined ? {} : { source }),
    }
    return { placed, epochMs }
  })
}

/** Of the reading and of its whole sitting, each code once, in the order of the findings. */
function codesOf(
  findings: readonly Finding[],
  { ordinal }: Reading,
  wanted: (finding: Finding) => boolean,
): readonly FindingCode[] {
  const concerning = findings.filter(({ reading }) => reading === undefined || reading === ordinal)
  return [...new Set(concerning.filter(wanted).map(({ code }) => code))]
}

/** The order of sittings of one moment: by id, then by the name of the source, as two sources may use one id. */
export function bySitting(a: OfSitting, b: OfSitting): number {
  return inOrder(a.session.id, b.session.id) || inOrder(a.source ?? '', b.source ?? '')
}

type OfSitting = Pick<PlacedReading, 'session' | 'source'>

function inOrder(a: string, b: string): number {
  if (a === b) return 0
  return a < b ? -1 : 1
}

function byOrdinal(a: PlacedReading, b: PlacedReading): number {
  return a.reading.ordinal - b.reading.ordinal
}
