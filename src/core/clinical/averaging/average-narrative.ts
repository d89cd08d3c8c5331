import type { AverageSummary, RoundedMean } from './average-summary.ts'
import { leftOutLines } from './left-out-narrative.ts'
import type { Label } from './period-average.ts'

/**
 * The average as a colleague would write it, a line each: the value and what it rests on, the rule, what was left
 * out and why, the label and whose it is, what technique may have done, whether it was enough, and the caution.
 */
export function averageNarrative(summary: AverageSummary): readonly string[] {
  return [
    valueLine(summary),
    ...pulseLine(summary),
    ruleLine(summary),
    ...windowsLine(summary),
    ...leftOutLines(summary.leftOut),
    ...labelLines(summary),
    ...sensitivityLine(summary),
    ...interArmLine(summary),
    sufficiencyLine(summary),
    summary.caution,
  ]
}

function valueLine({ mean, period, readings, sufficiency, arm, site, decimals }: AverageSummary): string {
  const days = `${period.firstDay} to ${period.lastDay} (${period.zone})`
  if (mean === undefined) {
    return `No home average for ${days}: none of the ${counted(readings.received, 'reading')} received counts.`
  }
  const where = [arm, site?.replace('-', ' ')].filter((word) => word !== undefined).join(' ')
  return `Home average ${pair(mean, decimals)} mmHg, ${days}: mean of ${readings.used} of ${counted(readings.received, 'reading')} received, on ${counted(sufficiency.daysUsed, 'day')}${where === '' ? '' : `, ${where}`}.`
}

function pulseLine({ mean, decimals }: AverageSummary): string[] {
  if (mean === undefined) return []
  const pulse =
    mean.pulsePerMinute === undefined
      ? 'No pulse was recorded'
      : `Pulse ${mean.pulsePerMinute.toFixed(decimals)} per minute`
  return [`${pulse}; mean arterial pressure ${mean.meanArterialMmHg.toFixed(decimals)} mmHg, computed.`]
}

function ruleLine({ protocol }: AverageSummary): string {
  return `Rule: ${protocol.title}. Source: ${protocol.citation.text}${EVIDENCE_NOTE[protocol.evidence]}.`
}

/** What a reader must know of a source that was not read itself. A common-practice citation says so in its own text. */
const EVIDENCE_NOTE = {
  read: '',
  reported: ' (as reported by others)',
  memory: ' (from memory, unverified)',
  derived: ' (derived from other published values)',
  'common-practice': '',
} as const

function windowsLine({ byWindow, decimals }: AverageSummary): string[] {
  if (byWindow.length < 2) return []
  const parts = byWindow.map(
    (one) => `${one.window} ${pair(one, decimals)} (${counted(one.readings, 'reading')})`,
  )
  return [`${capitalised(parts.join(', '))}.`]
}

function labelLines({ labels }: AverageSummary): string[] {
  return labels.map(
    (label) => `${capitalised(named(label))} (unrounded mean; the worse of systolic and diastolic).`,
  )
}

function sensitivityLine({ mean, sensitivity, labels, decimals }: AverageSummary): string[] {
  const { flaggedReadings } = sensitivity
  if (mean === undefined || flaggedReadings === 0) return []
  const flagged = `${counted(flaggedReadings, 'averaged reading')} ${flaggedReadings === 1 ? 'has' : 'have'} a remark on technique and ${flaggedReadings === 1 ? 'is' : 'are'} kept`
  if (sensitivity.mean === undefined) {
    return [`${flagged}; no reading is without one, so there is nothing to compare with.`]
  }
  const without = `${flagged}; without ${flaggedReadings === 1 ? 'it' : 'them'}: ${pair(sensitivity.mean, decimals)} mmHg`
  const changed = sensitivity.labels.filter(
    (label) => !labels.some((one) => one.thresholdSet === label.thresholdSet && one.label === label.label),
  )
  return changed.length === 0
    ? [`${without}, the same label.`]
    : [`${without}, which changes the label: ${changed.map(named).join('; ')}.`]
}

function interArmLine({ interArm, decimals }: AverageSummary): string[] {
  if (interArm === undefined) return []
  const difference = `${signed(interArm.systolicMmHg, decimals)}/${signed(interArm.diastolicMmHg, decimals)} mmHg`
  const measured = `Left less right arm ${difference} (${interArm.leftReadings} and ${interArm.rightReadings} readings, one arm after the other)`
  const repeat = `above the ${interArm.repeatLimitMmHg} mmHg at which NICE NG136 1.2.1 measures both arms again`
  if (interArm.aboveLimit) {
    return [`${measured}: above ${interArm.limitMmHg} mmHg, the limit of common practice, and ${repeat}.`]
  }
  return [interArm.aboveRepeatLimit ? `${measured}: ${repeat}.` : `${measured}: within the usual limits.`]
}

function sufficiencyLine({ sufficiency }: AverageSummary): string {
  const { daysMeasured, leastDays, enoughDays, readingsUsed, leastReadings, enoughReadings } = sufficiency
  const days = `${enoughDays ? 'Enough days' : 'Too few days'}: measured on ${daysMeasured}, the rule asks for at least ${leastDays}.`
  if (leastReadings === undefined) return `${days} The rule states no least number of readings.`
  return `${days} ${enoughReadings ? 'Enough readings' : 'Too few readings'}: ${readingsUsed} count, the rule asks for at least ${leastReadings}.`
}

function named({ title, label }: Label): string {
  return `${title}: ${label}`
}

function pair({ systolicMmHg, diastolicMmHg }: RoundedMean, decimals: 0 | 1): string {
  return `${systolicMmHg.toFixed(decimals)}/${diastolicMmHg.toFixed(decimals)}`
}

function signed(value: number, decimals: 0 | 1): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(decimals)}`
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}

function capitalised(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}
