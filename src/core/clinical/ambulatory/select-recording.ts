import { microPascals, type Pressure } from '../../basics/pressure.ts'
import type { Arm, Site } from '../session.ts'
import type { PlacedCandidate } from './place-recording.ts'
import type {
  RecordingLeftOut,
  RecordingLeftOutReason,
  RecordingPlan,
  RecordingReading,
} from './recording-average.ts'
import { recordingLeftOutText } from './recording-left-out-text.ts'

/** Which readings count and which do not: every reading is in exactly one of the two, in time order. */
export interface RecordingSelection {
  readonly used: readonly RecordingReading[]
  readonly leftOut: readonly RecordingLeftOut[]
  readonly recording?: { readonly fromMs: number; readonly toMs: number }
  readonly limb?: { readonly arm: Arm; readonly site: Site }
}

/** A recording is 24 hours of elapsed time, whatever the clock on the wall does. */
export const RECORDING_MS = 24 * 60 * 60 * 1000

/**
 * Applies the rules that need to see the whole recording. It is of one limb: the upper arm wherever it was measured, and
 * of the arms the one with more complete readings, on a tie the one measured first. It begins with the first
 * inflation there, complete or not, and ends 24 hours later, that moment not included: a reading at the same hour of
 * the next day would count that hour twice.
 *
 * A reading of the same moment and the same pressures as one before it is that reading again.
 */
export function selectRecording(
  plan: RecordingPlan,
  candidates: readonly PlacedCandidate[],
): RecordingSelection {
  const limb = limbOf(candidates)
  const onLimb = candidates.filter(({ placed }) => otherLimb(placed, limb) === undefined)
  const fromMs = onLimb.find(({ barredBy }) => barredBy === undefined || FAILED.has(barredBy))?.placed.takenMs
  const seen = new Set<string>()
  const used: RecordingReading[] = []
  const leftOut: RecordingLeftOut[] = []
  let toMs = fromMs
  for (const { placed, barredBy } of candidates) {
    const within =
      fromMs === undefined || (fromMs <= placed.takenMs && placed.takenMs < fromMs + RECORDING_MS)
    const reason =
      barredBy ??
      otherLimb(placed, limb) ??
      (within ? undefined : 'outside-recording') ??
      again(placed, seen) ??
      notAveraged(plan, placed)
    if (within && inRecording(reason)) toMs = placed.takenMs
    if (reason === undefined) used.push(placed)
    else leftOut.push({ placed, reason, text: recordingLeftOutText(reason, plan) })
  }
  return {
    used,
    leftOut,
    ...(fromMs === undefined || toMs === undefined || limb === undefined
      ? {}
      : { recording: { fromMs, toMs } }),
    ...(limb === undefined ? {} : { limb }),
  }
}

/** Inflations that failed, or that the clinic's policy takes for failed: they belong to the recording all the same. */
const FAILED: ReadonlySet<RecordingLeftOutReason> = new Set(['pressure-missing', 'excluded-by-policy'])

function inRecording(reason: RecordingLeftOutReason | undefined): boolean {
  return reason === undefined || reason === 'part-not-averaged'
}

function limbOf(candidates: readonly PlacedCandidate[]): { arm: Arm; site: Site } | undefined {
  const complete = candidates.filter(({ barredBy }) => barredBy === undefined).map(({ placed }) => placed)
  const upper = complete.filter(({ session }) => session.site === 'upper-arm')
  const compared = upper.length > 0 ? upper : complete
  const [first] = compared
  if (first === undefined) return undefined
  const { arm, site } = first.session
  const onFirstArm = compared.filter(({ session }) => session.arm === arm).length
  const other: Arm = arm === 'left' ? 'right' : 'left'
  return { arm: compared.length - onFirstArm > onFirstArm ? other : arm, site }
}

function otherLimb(
  { session }: RecordingReading,
  limb: { arm: Arm; site: Site } | undefined,
): RecordingLeftOutReason | undefined {
  if (limb === undefined) return undefined
  if (session.site !== limb.site) return 'other-site'
  return session.arm === limb.arm ? undefined : 'other-arm'
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
