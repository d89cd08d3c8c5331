import type { ExactMean } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { CitationId } from '../citations.ts'
import { type Finding, NO_FINDINGS } from '../finding.ts'
import type { Reading, Session } from '../session.ts'
import { attentionFinding } from './attention-finding.ts'
import type { AttentionLimits, PairLimit } from './attention-limits.ts'
import { areRepeated, hasIrregularPulse } from './irregular-sittings.ts'
import { isVeryHigh, isVeryLow, pairText } from './pair-limit.ts'
import { differsByMoreThan } from './sitting-difference.ts'

/** What is looked at of a period and its average; a `PeriodAverage` has all of it. */
export interface AttendedPeriod {
  readonly used: readonly AttendedReading[]
  readonly leftOut: readonly { readonly placed: AttendedReading; readonly reason: string }[]
  readonly interArm?: {
    readonly systolic: ExactMean
    readonly diastolic: ExactMean
    readonly limits: readonly { readonly citation: CitationId; readonly above: boolean }[]
  }
}

export interface AttendedReading {
  readonly session: Session
  readonly reading: Reading
  /** Where the patient lives. */
  readonly day: LocalDay
}

/**
 * What a period's home readings call for: how many were very high or very low and on how many days, in how many sittings
 * the monitor marked an irregular pulse, and arms that differ. Readings that an average leaves out count here too, but
 * for those that were taken back, came twice or lie outside the period. Each code at most once, in that order.
 */
export function periodAttention(period: AttendedPeriod, limits: AttentionLimits): readonly Finding[] {
  const readings = readingsTaken('home', period)
  const { high, low } = limits
  const calls = [
    counted('very-high', high, `at or above ${pairText(high)}`, readings, isVeryHigh),
    counted('very-low', low, `below ${pairText(low)}`, readings, isVeryLow),
    irregularPulse(readings, limits),
    armsDiffer(period, limits),
  ].filter((finding) => finding !== undefined)
  return calls.length === 0 ? NO_FINDINGS : calls
}

/**
 * What the days of a 24-hour recording call for: how many readings of recorders were very high, whatever their average
 * leaves out. Low ones are not counted, as in `sessionAttention`: pressures fall in sleep.
 */
export function recordingAttention(
  recording: Pick<AttendedPeriod, 'used' | 'leftOut'>,
  high: PairLimit,
): readonly Finding[] {
  const readings = readingsTaken('ambulatory', recording)
  const call = counted('very-high', high, `at or above ${pairText(high)}`, readings, isVeryHigh)
  return call === undefined ? NO_FINDINGS : [call]
}

const NOT_OF_THE_PERIOD: readonly string[] = ['withdrawn', 'same-reading-again', 'outside-period']

function readingsTaken(
  setting: Session['setting'],
  { used, leftOut }: Pick<AttendedPeriod, 'used' | 'leftOut'>,
): readonly AttendedReading[] {
  const counting = leftOut.filter(({ reason }) => !NOT_OF_THE_PERIOD.includes(reason))
  return [...used, ...counting.map(({ placed }) => placed)].filter(
    ({ session }) => session.setting === setting,
  )
}

function counted(
  code: 'very-high' | 'very-low',
  limit: AttentionLimits['high'],
  where: string,
  readings: readonly AttendedReading[],
  isSo: (reading: Reading, limit: AttentionLimits['high']) => boolean,
): Finding | undefined {
  const found = readings.filter(({ reading }) => isSo(reading, limit))
  if (found.length === 0) return undefined
  const days = new Set(found.map(({ day }) => day)).size
  const were = `${many(found.length, 'reading')} on ${many(days, 'day')} ${found.length === 1 ? 'was' : 'were'}`
  return attentionFinding({ code, seen: `${were} ${where}`, citation: limit.citation })
}

function irregularPulse(
  readings: readonly AttendedReading[],
  { irregularPulse: limit }: AttentionLimits,
): Finding | undefined {
  const sittings = [...new Set(readings.map(({ session }) => session))].filter(hasIrregularPulse)
  if (!areRepeated(sittings, limit)) return undefined
  return attentionFinding({
    code: 'irregular-pulse-repeated',
    seen: `The monitor marked an irregular pulse in ${many(sittings.length, 'sitting')} of the period, at least ${limit.sittings} of them within ${limit.withinDays} days`,
    citation: limit.citation,
  })
}

function armsDiffer(
  { interArm }: AttendedPeriod,
  { armsDiffer: limit }: AttentionLimits,
): Finding | undefined {
  if (interArm === undefined || !differsByMoreThan(interArm, limit.mmHg)) return undefined
  return attentionFinding({
    code: 'arms-differ',
    seen: `The arms differ by more than ${limit.mmHg} mmHg over the period`,
    citation: limit.citation,
    alsoCites: interArm.limits.filter(({ above }) => above).map(({ citation }) => citation),
  })
}

function many(count: number, what: string): string {
  return `${count} ${what}${count === 1 ? '' : 's'}`
}
