import { findingWords } from '../finding.ts'
import { attentionLines } from './attention-narrative.ts'
import { besideTheAverage } from './beside-narrative.ts'
import { leftOutLines } from './left-out-narrative.ts'
import { capitalised, counted, labelText, limbText, listed, pairText } from './narrative-words.ts'
import type { PeriodSummary } from './period-summary.ts'
import { pooledLine } from './pooled-enrolments.ts'
import { scheduleLine } from './schedule-narrative.ts'
import { trendLine, variabilityLine } from './variability-narrative.ts'

/**
 * A period as a colleague would write it down, a line each, what a hurried reader must not miss first: the value and what
 * it rests on, that several enrolments are averaged together, the label and whose it is, what asks for attention, what
 * better technique would change; then the rule, whether its schedule was kept, what was left out and why; then the parts
 * of the day, the pulse, how the readings vary, the arms, the clinic, and how the numbers came in. What has nothing to say
 * is not there. Of too few days or readings the schedule is told before the label, which nobody should read without. The
 * same lines are the text and the notes of the Observation.
 */
export function periodNarrative(summary: PeriodSummary): readonly string[] {
  const { enoughDays, enoughReadings } = summary.sufficiency
  const isTooFew = summary.mean !== undefined && !(enoughDays && enoughReadings)
  return [
    valueLine(summary),
    ...pooledLine(summary.readings),
    ...(isTooFew ? [scheduleLine(summary)] : []),
    ...labelLines(summary),
    ...attentionLines(summary.attention),
    ...sensitivityLine(summary),
    ruleLine(summary),
    ...(isTooFew ? [] : [scheduleLine(summary)]),
    ...(summary.readings.received === 0 ? [] : leftOutLines(summary.leftOut, summary.leftOutRules)),
    ...windowsLine(summary),
    ...pulseLine(summary),
    ...variabilityLine(summary),
    ...trendLine(summary),
    ...besideTheAverage(summary),
    summary.caution,
  ]
}

function valueLine(summary: PeriodSummary): string {
  const { mean, period, readings, sufficiency, arm, site, decimals } = summary
  const days = `${period.firstDay} to ${period.lastDay} (${period.zone})`
  if (mean === undefined) {
    return readings.received === 0
      ? `No home average for ${days}: no readings were received.`
      : `No home average for ${days}: none of the ${counted(readings.received, 'reading')} received counts.`
  }
  const rests = `${readings.used} of ${counted(readings.received, 'reading')} received, on ${counted(sufficiency.daysUsed, 'day')}, ${limbText(arm, site)}`
  if (summary.protocol.windowsAveraged === 'apart') {
    const values = summary.byWindow.map((one) => `${one.window} ${pairText(one, decimals)} mmHg`)
    return `Home averages by part of the day: ${listed(values)}, ${days}: means of ${rests}.`
  }
  return `Home average ${pairText(mean, decimals)} mmHg, ${days}: mean of ${rests}.`
}

function labelLines({ labels, mean }: PeriodSummary): string[] {
  const zeros =
    mean?.diastolicReadings === undefined
      ? []
      : [
          `The diastolic mean rests on ${counted(mean.diastolicReadings, 'reading')}: a diastolic of zero is left out of it where its sitting has another.`,
        ]
  if (labels.length === 0) return zeros
  const said = labels.map((label) => capitalised(labelText(label))).join('; ')
  return [`${said} (unrounded mean; the worse of systolic and diastolic).`, ...zeros]
}

function pulseLine({ mean, decimals }: PeriodSummary): string[] {
  if (mean === undefined) return []
  const pulse =
    mean.pulsePerMinute === undefined
      ? 'No pulse was recorded'
      : `Pulse ${mean.pulsePerMinute.toFixed(decimals)} per minute`
  return [`${pulse}; mean arterial pressure ${mean.meanArterialMmHg.toFixed(decimals)} mmHg, computed.`]
}

function ruleLine({ protocol }: PeriodSummary): string {
  const note = EVIDENCE_NOTE[protocol.evidence]
  return `Rule: ${protocol.title}. Source: ${protocol.citation.text}${protocol.title.endsWith(note) ? '' : note}.`
}

/** What a reader must know of a source that was not read itself. A common-practice citation says so in its own text. */
const EVIDENCE_NOTE = {
  read: '',
  reported: ' (as reported by others)',
  memory: ' (from memory, unverified)',
  derived: ' (derived from other published values)',
  'common-practice': '',
} as const

function windowsLine({ byWindow, windowsWithout, decimals, protocol, mean }: PeriodSummary): string[] {
  const without = windowsWithout.map((window) => `Of the ${window} no reading counts.`)
  if (byWindow.length < 2 || mean === undefined) return without
  const parts = byWindow.map(
    (one) => `${one.window} ${pairText(one, decimals)} (${counted(one.readings, 'reading')})`,
  )
  const line =
    protocol.windowsAveraged === 'apart'
      ? `${capitalised(byWindow.map((one) => `${one.window} ${counted(one.readings, 'reading')}`).join(', '))}; all of them together ${pairText(mean, decimals)} mmHg.`
      : `${capitalised(parts.join(', '))}.`
  return [line, ...without]
}

function sensitivityLine({ mean, sensitivity, labels, decimals }: PeriodSummary): string[] {
  const { flaggedReadings } = sensitivity
  if (mean === undefined || flaggedReadings === 0) return []
  const one = flaggedReadings === 1
  const remarks = sensitivity.flaggedFor.map(
    ({ finding, readings }) => `${findingWords(finding)}${one ? '' : ` ${readings}`}`,
  )
  const flagged = `${counted(flaggedReadings, 'averaged reading')} ${one ? 'has' : 'have'} a remark (${remarks.join(', ')}) and ${one ? 'is' : 'are'} kept`
  if (sensitivity.mean === undefined) {
    return [`${flagged}; no reading is without one, so there is nothing to compare with.`]
  }
  const without = `${flagged}; without ${one ? 'it' : 'them'}: ${pairText(sensitivity.mean, decimals)} mmHg`
  if (labels.length === 0) return [`${without}.`]
  const said = new Set(labels.map(labelText))
  const changed = sensitivity.labels.map(labelText).filter((label) => !said.has(label))
  return changed.length === 0
    ? [`${without}, the same label.`]
    : [`${without}, which changes the label: ${changed.join('; ')}.`]
}
