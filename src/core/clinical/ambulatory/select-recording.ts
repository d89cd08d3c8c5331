import { microPascals, type Pressure } from '../../basics/pressure.ts'
import { type ArmGroup, armGroup, type SiteGroup, siteGroup } from '../averaging/limb-groups.ts'
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
  /** Of those left out, the inflations on the limb and within the 24 hours that gave no reading that counts. */
  readonly failed: readonly RecordingReading[]
  readonly recording?: { readonly fromMs: number; readonly toMs: number }
  readonly limb?: Limb
}

interface Limb {
  readonly arm: ArmGroup
  readonly site: SiteGroup
}

/** A recording is 24 hours of elapsed time, whatever the clock on the wall does. */
export const RECORDING_MS = 24 * 60 * 60 * 1000

/**
 * Applies the rules that need to see the whole recording. It is of one limb: the upper arm wherever it was measured, then
 * a site that is not stated, then the wrist; and of the arms, "not stated" being one, that with more complete readings,
 * on a tie one that is stated, then the one measured first. It begins with the first inflation there, complete or not,
 * and ends 24 hours later, that moment not included: a reading at the same hour of the next day would count that hour
 * twice.
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
  const failed: RecordingReading[] = []
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
    if (within && otherLimb(placed, limb) === undefined && reason !== undefined && FAILED.has(reason))
      failed.push(placed)
    if (reason === undefined) used.push(placed)
    else leftOut.push({ placed, reason, text: recordingLeftOutText(reason, plan, placed.session) })
  }
  return {
    used,
    leftOut,
    failed,
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

function limbOf(candidates: readonly PlacedCandidate[]): Limb | undefined {
  const complete = candidates.filter(({ barredBy }) => barredBy === undefined)
  const sessions = complete.map(({ placed }) => placed.session)
  const site = SITES.find((one) => sessions.some((session) => siteGroup(session) === one))
  if (site === undefined) return undefined
  const readings = new Map<ArmGroup, number>()
  for (const session of sessions) {
    if (siteGroup(session) !== site) continue
    const arm = armGroup(session)
    readings.set(arm, (readings.get(arm) ?? 0) + 1)
  }
  // Sorting keeps the order of what is equal, and that is the order in which the arms were measured.
  const [most] = [...readings].sort(
    ([arm, one], [otherArm, other]) => other - one || rankOf(arm) - rankOf(otherArm),
  )
  return most === undefined ? undefined : { arm: most[0], site }
}

/** A stated arm goes before one that is not. */
function rankOf(arm: ArmGroup): number {
  return arm === 'not-stated' ? 1 : 0
}

/** In the order in which one is preferred to the next. */
const SITES: readonly SiteGroup[] = ['upper-arm', 'not-stated', 'wrist']

function otherLimb(
  { session }: RecordingReading,
  limb: Limb | undefined,
): RecordingLeftOutReason | undefined {
  if (limb === undefined) return undefined
  const site = siteGroup(session)
  const arm = armGroup(session)
  if (site !== limb.site)
    return site === 'not-stated' || limb.site === 'not-stated' ? 'site-not-stated' : 'other-site'
  if (arm === limb.arm) return undefined
  return arm === 'not-stated' || limb.arm === 'not-stated' ? 'arm-not-stated' : 'other-arm'
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
