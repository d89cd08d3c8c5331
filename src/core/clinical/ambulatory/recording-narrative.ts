import { localTime } from '../../basics/local-day.ts'
import { attentionLines } from '../report/attention-narrative.ts'
import { capitalised, counted, limbText, listed, pairText } from '../report/narrative-words.ts'
import { pooledLine } from '../report/pooled-enrolments.ts'
import { RECORDING_LEFT_OUT_REASONS, type RecordingValidity, type Span } from './recording-average.ts'
import type { RecordingSummary } from './recording-summary.ts'

/**
 * A recording as a colleague would write it, a line each: the means and what they rest on, that several enrolments are
 * averaged together, the labels and whose they are, what asks for attention, the rule, whether there was enough, dipping
 * and how far to trust it, what was left out and why, and the caution.
 */
export function recordingNarrative(summary: RecordingSummary): readonly string[] {
  return [
    valueLine(summary),
    ...pooledLine(summary.readings),
    ...meanLines(summary),
    ...summary.labels.map(
      ({ span, title, label }) =>
        `${title}, ${SPAN_WORDS[span]}: ${label} (unrounded mean; the worse of systolic and diastolic).`,
    ),
    ...attentionLines(summary.attention ?? []),
    ruleLine(summary),
    validityLine(summary),
    ...howAveragedLine(summary),
    ...dippingLine(summary),
    ...leftOutLines(summary),
    summary.caution,
  ]
}

const SPAN_WORDS: Readonly<Record<Span, string>> = { '24-hours': '24 hours', day: 'day', night: 'night' }

function valueLine({ recording, period, readings, arm, site }: RecordingSummary): string {
  if (recording === undefined || readings.used === 0) {
    return `No mean of a 24-hour recording for ${period.firstDay} to ${period.lastDay} (${period.zone}): none of the ${counted(readings.received, 'reading')} received counts.`
  }
  const times = `${wallText(recording.from, period.zone)} to ${wallText(recording.to, period.zone)} (${period.zone})`
  return `24-hour recording, ${times}: ${readings.used} of ${counted(readings.received, 'reading')} received are averaged, ${limbText(arm, site)}.`
}

function meanLines({ means, decimals }: RecordingSummary): readonly string[] {
  return means.map((mean) => {
    const pulse =
      mean.pulsePerMinute === undefined
        ? 'no pulse recorded'
        : `pulse ${mean.pulsePerMinute.toFixed(decimals)} per minute`
    return `${capitalised(SPAN_WORDS[mean.span])}: ${pairText(mean, decimals)} mmHg, mean of ${counted(mean.readings, 'reading')}; ${pulse}.`
  })
}

function ruleLine({ rule }: RecordingSummary): string {
  return `Rule: ${rule.title}. Source: ${rule.citation.text}${EVIDENCE_NOTE[rule.evidence]}.`
}

const EVIDENCE_NOTE = {
  read: '',
  reported: ' (as reported by others)',
  memory: ' (from memory, unverified)',
  derived: ' (derived from other published values)',
  'common-practice': '',
} as const

function howAveragedLine({ means, dayAndNightBy }: RecordingSummary): readonly string[] {
  if (means.length === 0) return []
  const parts =
    dayAndNightBy === 'diary'
      ? 'Day and night by the patient’s own times of sleep.'
      : 'Day and night by fixed hours, because no times of sleep were told.'
  return [
    `${parts} Every reading has the same weight; means weighted by the time between readings exist and are not used.`,
  ]
}

function validityLine({ validity }: RecordingSummary): string {
  const parts = [...shareParts(validity), ...partOf(validity, 'day'), ...partOf(validity, 'night')]
  const asked = parts.length === 0 ? 'the rule states no least number of readings' : listed(parts)
  return `${VERDICTS[validity.verdict]}: ${asked}.`
}

const VERDICTS: Readonly<Record<RecordingValidity['verdict'], string>> = {
  valid: 'Enough for the rule',
  'not-valid': 'Not enough for the rule',
  'not-known': 'Whether it is enough for the rule is not known',
}

function shareParts(validity: RecordingValidity): readonly string[] {
  const { leastShareOfAttempts, attempts, successful } = validity
  if (leastShareOfAttempts === undefined) return []
  const least = `the rule asks for at least ${Math.round(leastShareOfAttempts * 1000) / 10} %`
  return attempts === undefined
    ? [`the number of attempts was not told (${least})`]
    : [`${successful} of ${counted(attempts, 'attempt')} succeeded (${least})`]
}

function partOf(validity: RecordingValidity, part: 'day' | 'night'): readonly string[] {
  const least = part === 'day' ? validity.leastDayReadings : validity.leastNightReadings
  const readings = part === 'day' ? validity.dayReadings : validity.nightReadings
  return least === undefined ? [] : [`${counted(readings, `${part} reading`)} (at least ${least})`]
}

function dippingLine({ dipping }: RecordingSummary): readonly string[] {
  if (dipping === undefined) return []
  const way = dipping.class === 'riser' ? 'rises' : 'falls'
  const change = `${way} by ${Math.abs(dipping.percent).toFixed(1)} % of the day`
  return [
    `At night systolic ${change}, which, unrounded, is called ${dipping.class}. Edges: HOPE Asia Network 2019 (PMC8030405, table A5) leaves open where exactly 0, 10 or 20 % belongs; here it belongs to the larger fall, the common definition, from memory. When measured again, 32 % of people change their class (PMC7575032).`,
  ]
}

/** What was left out, grouped by reason: one line of counts, then each rule once. */
function leftOutLines({ leftOut }: RecordingSummary): readonly string[] {
  if (leftOut.length === 0) return ['Nothing was left out.']
  const groups = RECORDING_LEFT_OUT_REASONS.flatMap((reason) => {
    const group = leftOut.filter((one) => one.reason === reason)
    const [first] = group
    return first === undefined ? [] : [`${counted(group.length, 'reading')}: ${first.text}`]
  })
  return ['Left out:', ...groups]
}

/** `2026-03-04 09:00` by the patient's clock. */
function wallText(instant: string, zone: string): string {
  const { day, minuteOfDay } = localTime(Date.parse(instant), zone)
  const two = (value: number) => String(value).padStart(2, '0')
  return `${day} ${two(Math.floor(minuteOfDay / 60))}:${two(minuteOfDay % 60)}`
}
