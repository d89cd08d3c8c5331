import type { CorrespondenceRow } from '../patterns/clinic-comparison.ts'
import { counted, listed, pairText, signedText } from './narrative-words.ts'
import type { InterArmSummary, PeriodSummary } from './period-summary.ts'

/** What stands beside the average and changes none of it: arms, clinic, how the numbers came in, and calls for attention. */
export function besideTheAverage(summary: PeriodSummary): readonly string[] {
  return [
    ...interArmLine(summary),
    ...clinicLines(summary),
    ...correspondenceLines(summary),
    ...integrityLines(summary),
    ...summary.attention.map(({ text }) => `For attention: ${text}`),
  ]
}

function interArmLine({ interArm, decimals }: PeriodSummary): readonly string[] {
  if (interArm === undefined) return []
  const difference = `${signedText(interArm.systolicMmHg, decimals)}/${signedText(interArm.diastolicMmHg, decimals)} mmHg`
  const basis =
    interArm.basis === 'paired'
      ? `mean of ${counted(interArm.pairs, 'pair')} of sittings, one arm after the other`
      : `${interArm.leftReadings} and ${interArm.rightReadings} readings, not taken in pairs`
  return [`Left less right arm ${difference} (${basis})${limitsText(interArm)}.${higherText(interArm)}`]
}

function limitsText({ limits }: InterArmSummary): string {
  const above = limits.filter((limit) => limit.above)
  if (above.length === 0) return limits.length === 0 ? '' : ': within the usual limits'
  const named = above.map(
    ({ limitMmHg, systolicOnly, source }) =>
      `${limitMmHg} mmHg${systolicOnly ? ' systolic' : ''} (${source})`,
  )
  return `: above the limit of ${listed(named)}`
}

function higherText({ limits, armUsed, higherArm }: InterArmSummary): string {
  if (higherArm === 'neither' || !limits.some(({ above }) => above)) return ''
  if (armUsed === undefined) return ` The ${higherArm} arm is the higher one.`
  return armUsed === higherArm
    ? ` The ${higherArm} arm is the higher one, and the average uses it.`
    : ` The ${higherArm} arm is the higher one; the average uses the ${armUsed}.`
}

function clinicLines({ clinic, decimals }: PeriodSummary): readonly string[] {
  if (clinic.mean === undefined) return []
  return [
    `Clinic mean ${pairText(clinic.mean, decimals)} mmHg of ${counted(clinic.mean.readings, 'reading')} sent for the period.`,
    ...clinic.patterns.map(({ system, name, source }) => `By ${system}: ${name}. Source: ${source}.`),
  ]
}

function correspondenceLines({ clinic }: PeriodSummary): readonly string[] {
  return clinic.correspondence.map(
    ({ source, ...row }) =>
      `For context: a home mean from ${both(row.home)} corresponds to ${both(row.office)} at the clinic, ${both(row.day)} by day, ${both(row.night)} by night and ${both(row.twentyFourHours)} over 24 hours (${source}).`,
  )
}

function both([systolic, diastolic]: CorrespondenceRow['home']): string {
  return `${systolic}/${diastolic}`
}

function integrityLines({ integrity }: PeriodSummary): readonly string[] {
  if (integrity.length === 0) return []
  return [
    'How the numbers came in, for a person to weigh; each of these is more often innocent than not:',
    ...integrity.map(({ text }) => text),
  ]
}
