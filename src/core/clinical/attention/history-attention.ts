import { reachesMmHg } from '../../basics/exact-mean.ts'
import { type Finding, NO_FINDINGS } from '../finding.ts'
import { type Session, timeOf } from '../session.ts'
import { attentionFinding } from './attention-finding.ts'
import type { AttentionLimits } from './attention-limits.ts'
import { areRepeated, hasIrregularPulse } from './irregular-sittings.ts'
import { pairText } from './pair-limit.ts'
import { differsByMoreThan, sittingDifference } from './sitting-difference.ts'

/**
 * What a sitting calls for together with others of the same person: an irregular pulse that came back, arms that differ,
 * a fall on standing. Each at most once, in that order. `others` may come in any order, may be later than the session
 * (records arrive late), and may hold the session itself, which is left aside; not another version of it.
 */
export function historyAttention(
  session: Session,
  others: readonly Session[],
  limits: AttentionLimits,
): readonly Finding[] {
  const found = others.filter((other) => other !== session)
  const calls = [
    irregularPulse(session, found, limits),
    armsDiffer(session, found, limits),
    fallOnStanding(session, found, limits),
  ].filter((finding) => finding !== undefined)
  return calls.length === 0 ? NO_FINDINGS : calls
}

function irregularPulse(
  session: Session,
  others: readonly Session[],
  { irregularPulse: limit }: AttentionLimits,
): Finding | undefined {
  if (!hasIrregularPulse(session)) return undefined
  const marked = [session, ...others.filter(hasIrregularPulse)]
  if (!areRepeated(marked, limit, session.takenAt.epochMs)) return undefined
  return attentionFinding({
    code: 'irregular-pulse-repeated',
    seen: `The monitor marked an irregular pulse in at least ${limit.sittings} sittings within ${limit.withinDays} days`,
    citation: limit.citation,
  })
}

/**
 * How far apart sittings on the two arms may begin, common practice: pressure moves over a day by more than arms do, so
 * only sittings of the same hour say something about the arms.
 */
const SAME_HOUR_MS = 3_600_000

/** Compared with the other arm's nearest sitting in the same position and at the same site, all of them stated. */
function armsDiffer(
  session: Session,
  others: readonly Session[],
  { armsDiffer: limit }: AttentionLimits,
): Finding | undefined {
  const apartMs = (other: Session) => Math.abs(other.takenAt.epochMs - session.takenAt.epochMs)
  const [nearest] = others
    .filter((other) => isOtherArm(session, other) && isSamePosition(session, other))
    .filter((other) => areComparable(session, other) && apartMs(other) <= SAME_HOUR_MS)
    .sort((one, other) => apartMs(one) - apartMs(other))
  const difference = nearest === undefined ? undefined : sittingDifference(session, nearest)
  if (difference === undefined || !differsByMoreThan(difference, limit.mmHg)) return undefined
  return attentionFinding({
    code: 'arms-differ',
    seen: `The nearest sitting on the other arm within an hour differs by more than ${limit.mmHg} mmHg`,
    citation: limit.citation,
  })
}

function isOtherArm(session: Session, { arm }: Session): boolean {
  return arm !== undefined && session.arm !== undefined && arm !== session.arm
}

function isSamePosition(session: Session, { position }: Session): boolean {
  return position !== undefined && position === session.position
}

/**
 * The same arm and site, sitting or lying first and then standing, whichever of the two the session is; all of it stated.
 */
function fallOnStanding(
  session: Session,
  others: readonly Session[],
  { fallOnStanding: limit }: AttentionLimits,
): Finding | undefined {
  const falls = others.some((other) => {
    if (other.arm === undefined || other.arm !== session.arm || !areComparable(session, other)) return false
    const [before, standing] = session.position === 'standing' ? [other, session] : [session, other]
    if (standing.position !== 'standing' || before.position === undefined || before.position === 'standing')
      return false
    if (!stoodUpWithin(before, standing, limit.withinMinutes)) return false
    const fall = sittingDifference(before, standing)
    return (
      fall !== undefined &&
      (reachesMmHg(fall.systolic, limit.systolicMmHg) || reachesMmHg(fall.diastolic, limit.diastolicMmHg))
    )
  })
  if (!falls) return undefined
  return attentionFinding({
    code: 'fall-on-standing',
    seen: `Within ${limit.withinMinutes} minutes (common practice) the pressure fell on standing by at least ${pairText(limit)}`,
    citation: limit.citation,
  })
}

const MS_PER_MINUTE = 60_000

/** From the last reading before to the first one standing; standing first is no standing up. */
function stoodUpWithin(before: Session, standing: Session, minutes: number): boolean {
  const lastBefore = Math.max(...before.readings.map((reading) => timeOf(reading, before).epochMs))
  const firstStanding = Math.min(...standing.readings.map((reading) => timeOf(reading, standing).epochMs))
  const apartMs = firstStanding - lastBefore
  return apartMs >= 0 && apartMs <= minutes * MS_PER_MINUTE
}

/** A 24-hour recording has no one position and no one moment; sites are not compared unless both are stated and one. */
function areComparable(session: Session, other: Session): boolean {
  const isOneSite = session.site !== undefined && session.site === other.site
  return isOneSite && session.setting !== 'ambulatory' && other.setting !== 'ambulatory'
}
