import { type ArmGroup, armGroup, type SiteGroup, siteGroup } from '../averaging/limb-groups.ts'
import type { Session } from '../session.ts'
import type { PlacedCandidate } from './place-recording.ts'
import type { RecordingLeftOutReason } from './recording-average.ts'

/** The 24 hours and the limb that a recording is of. */
export interface RecordingSpan {
  readonly limb: Limb
  /** The first inflation, epoch ms, and the end, which is not in it. */
  readonly fromMs: number
  readonly endMs: number
}

export interface Limb {
  readonly arm: ArmGroup
  readonly site: SiteGroup
}

/** A recording is 24 hours of elapsed time, whatever the clock on the wall does. */
const RECORDING_MS = 24 * 60 * 60 * 1000

/**
 * Finds the first recording among readings in time order; undefined when the cuff was never inflated. It is of one limb,
 * chosen in the 24 hours from the first inflation that have a complete reading: the upper arm wherever it was measured,
 * then a site that is not stated, then the wrist; and of the arms, "not stated" being one, that with more complete
 * readings, on a tie one that is stated, then the one measured first. Where no reading at all is complete, the failed
 * ones decide. What was worn later has no say in it.
 *
 * It begins with the first inflation there, complete or not, and ends 24 hours later, that moment not included: a reading
 * at the same hour of the next day would count that hour twice.
 */
export function recordingSpan(candidates: readonly PlacedCandidate[]): RecordingSpan | undefined {
  const first = firstHours(candidates.filter(isInflation))
  const complete = first.filter(isComplete)
  const limb = limbOf(complete.length > 0 ? complete : first)
  const start = limb && first.find(({ placed }) => isOnLimb(placed.session, limb))
  if (limb === undefined || start === undefined) return undefined
  const fromMs = start.placed.takenMs
  return { limb, fromMs, endMs: fromMs + RECORDING_MS }
}

/** Those of the 24 hours from the first inflation on; from a later one where these have no complete reading. */
function firstHours(inflations: readonly PlacedCandidate[]): readonly PlacedCandidate[] {
  const complete = inflations.find(isComplete)
  const earliestMs = complete === undefined ? undefined : complete.placed.takenMs - RECORDING_MS
  const first = inflations.find(({ placed }) => earliestMs === undefined || placed.takenMs > earliestMs)
  if (first === undefined) return []
  const endMs = first.placed.takenMs + RECORDING_MS
  return inflations.filter(({ placed }) => first.placed.takenMs <= placed.takenMs && placed.takenMs < endMs)
}

/** Whether a moment lies in the 24 hours. */
export function isWithin({ fromMs, endMs }: RecordingSpan, takenMs: number): boolean {
  return fromMs <= takenMs && takenMs < endMs
}

export function isOnLimb(session: Session, { arm, site }: Limb): boolean {
  return siteGroup(session) === site && armGroup(session) === arm
}

/** Whether an inflation failed, or the clinic's policy takes it for failed: it belongs to the recording all the same. */
export function isFailed(reason: RecordingLeftOutReason | undefined): boolean {
  return reason === 'pressure-missing' || reason === 'excluded-by-policy'
}

function isInflation({ barredBy }: PlacedCandidate): boolean {
  return barredBy === undefined || isFailed(barredBy)
}

function isComplete({ barredBy }: PlacedCandidate): boolean {
  return barredBy === undefined
}

function limbOf(inflations: readonly PlacedCandidate[]): Limb | undefined {
  const sessions = inflations.map(({ placed }) => placed.session)
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
