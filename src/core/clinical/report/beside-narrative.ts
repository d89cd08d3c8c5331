import type { CorrespondenceRow } from '../patterns/clinic-comparison.ts'
import { counted, limbText, listed, pairText, signedText } from './narrative-words.ts'
import type { InterArmSummary, PeriodSummary } from './period-summary.ts'

/** What stands beside the average and changes none of it: arms, clinic, and how the numbers came in. */
export function besideTheAverage(summary: PeriodSummary): readonly string[] {
  return [
    ...interArmLine(summary),
    ...clinicLines(summary),
    ...correspondenceLines(summary),
    ...integrityLines(summary),
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

/** Which limits are passed and which are not; whose, where the source was read itself. The summary names every source. */
function limitsText({ limits }: InterArmSummary): string {
  if (limits.length === 0) return ''
  const above = limits.filter((limit) => limit.above)
  if (above.length === 0) return ': within the usual limits'
  const passed = valuesOf(above)
  const kept = valuesOf(limits).filter((value) => !passed.includes(value))
  const read = above.filter(({ evidence }) => evidence === 'read')
  const whose = read.map(({ limitMmHg, source }) => `${limitMmHg}: ${source.split(': ')[0]}`)
  const within = kept.length === 0 ? '' : `, within ${listed(kept)} mmHg`
  return `: unrounded above ${listed(passed)} mmHg, limits of different sources${whose.length === 0 ? '' : ` (${whose.join('; ')})`}${within}`
}

function valuesOf(limits: InterArmSummary['limits']): readonly string[] {
  const values = new Set(limits.map(({ limitMmHg }) => limitMmHg))
  return [...values].sort((a, b) => a - b).map(String)
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
    `Clinic mean ${pairText(clinic.mean, decimals)} mmHg of ${counted(clinic.mean.readings, 'reading')} of the period, ${limbText(clinic.arm, clinic.site)}.`,
    ...clinic.patterns.map(
      ({ system, name, source }) => `By ${system}: ${name} (unrounded means). Source: ${source}.`,
    ),
  ]
}

function correspondenceLines({ clinic }: PeriodSummary): readonly string[] {
  return clinic.correspondence.map(
    ({ source, ...row }) =>
      `For context: a home mean from ${row.home[0]} systolic or from ${row.home[1]} diastolic on corresponds to ${both(row.office)} at the clinic, ${both(row.day)} by day, ${both(row.night)} by night and ${both(row.twentyFourHours)} over 24 hours (${source}).`,
  )
}

function both([systolic, diastolic]: CorrespondenceRow['home']): string {
  return `${systolic}/${diastolic}`
}

/** Days without readings are in the line about the schedule. */
function integrityLines({ integrity }: PeriodSummary): readonly string[] {
  const texts = integrity.filter(({ code }) => code !== 'days-without-readings').map(({ text }) => text)
  if (texts.length === 0) return []
  return [
    'How the numbers came in, for a person to weigh; each of these is more often innocent than not:',
    ...texts,
  ]
}
