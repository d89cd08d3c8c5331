import { microPascals, type Pressure } from '../../basics/pressure.ts'
import { armGroup, siteGroup } from '../averaging/limb-groups.ts'
import type { DayAndNight } from './day-and-night.ts'
import type { PlacedCandidate } from './place-recording.ts'
import type {
  RecordingLeftOut,
  RecordingLeftOutReason,
  RecordingPlan,
  RecordingReading,
} from './recording-average.ts'
import { recordingLeftOutText } from './recording-left-out-text.ts'
import { isFailed, isOnLimb, isWithin, type RecordingSpan } from './recording-span.ts'

/** Which readings count and which do not: every reading is in exactly one of the two, in time order. */
export interface RecordingSelection {
  readonly used: readonly RecordingReading[]
  readonly leftOut: readonly RecordingLeftOut[]
  /** Of those left out, the inflations on the limb and within the 24 hours that gave no reading that counts. */
  readonly failed: readonly RecordingReading[]
  readonly recording?: { readonly fromMs: number; readonly toMs: number }
}

/**
 * Applies the rules that need to see the whole recording.
 *
 * A reading of the same moment and the same pressures as one before it is that reading again.
 */
export function selectRecording(
  plan: RecordingPlan,
  candidates: readonly PlacedCandidate[],
  span: RecordingSpan | undefined,
  partAt: DayAndNight['partAt'],
): RecordingSelection {
  const seen = new Set<string>()
  const used: RecordingReading[] = []
  const leftOut: RecordingLeftOut[] = []
  const failed: RecordingReading[] = []
  let toMs: number | undefined
  for (const { placed: candidate, barredBy } of candidates) {
    const placed: RecordingReading = { ...candidate, part: partAt(candidate.takenMs) }
    const within = span !== undefined && isWithin(span, placed.takenMs)
    const reason = barredBy ?? notOfSpan(placed, span) ?? again(placed, seen) ?? notAveraged(plan, placed)
    if (within && inRecording(reason)) toMs = placed.takenMs
    if (within && isFailed(reason) && isOnLimb(placed.session, span.limb)) failed.push(placed)
    if (reason === undefined) used.push(placed)
    else leftOut.push({ placed, reason, text: recordingLeftOutText(reason, plan, placed.session) })
  }
  return {
    used,
    leftOut,
    failed,
    ...(span === undefined || toMs === undefined ? {} : { recording: { fromMs: span.fromMs, toMs } }),
  }
}

function inRecording(reason: RecordingLeftOutReason | undefined): boolean {
  return reason === undefined || reason === 'part-not-averaged'
}

function notOfSpan(
  { session, takenMs }: RecordingReading,
  span: RecordingSpan | undefined,
): RecordingLeftOutReason | undefined {
  if (span === undefined) return undefined
  const { limb } = span
  const site = siteGroup(session)
  const arm = armGroup(session)
  if (site !== limb.site)
    return site === 'not-stated' || limb.site === 'not-stated' ? 'site-not-stated' : 'other-site'
  if (arm !== limb.arm)
    return arm === 'not-stated' || limb.arm === 'not-stated' ? 'arm-not-stated' : 'other-arm'
  return isWithin(span, takenMs) ? undefined : 'outside-recording'
}

function again(
  { reading, takenMs }: RecordingReading,
  seen: Set<string>,
): RecordingLeftOutReason | undefined {
  const key = `${takenMs}/${exact(reading.systolic)}/${exact(reading.diastolic)}`
  if (seen.has(key)) return 'same-reading-again'
  seen.add(key)
  return undefined
}

function exact(pressure: Pressure | null): number | null {
  return pressure === null ? null : microPascals(pressure)
}

function notAveraged(
  { rule }: RecordingPlan,
  { part }: RecordingReading,
): RecordingLeftOutReason | undefined {
  return rule.averaged.includes('24-hours') || rule.averaged.includes(part) ? undefined : 'part-not-averaged'
}
