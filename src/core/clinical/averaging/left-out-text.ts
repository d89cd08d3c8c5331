import { findingWords } from '../finding.ts'
import type { Session } from '../session.ts'
import type { LeftOutReason, PeriodPlan, PlacedReading } from './period-average.ts'
import { SAME_MOMENT_MS } from './selection/same-reading-elsewhere.ts'

/** Why a reading is left out, by which rule and on whose authority, as text for a person. Holds no measured value. */
export function leftOutText(
  reason: LeftOutReason,
  plan: PeriodPlan,
  { excludedFor, session }: PlacedReading,
  sameAs?: PlacedReading,
): string {
  const { leaveOut, readingsPerSitting } = plan.protocol
  switch (reason) {
    case 'withdrawn':
      return 'Taken back by its source. Rule of this gateway: what was withdrawn is listed and not averaged.'
    case 'outside-period':
      return `Not taken on a day of the period, ${plan.firstDay} to ${plan.lastDay} in ${plan.zone}.`
    case 'other-setting':
      return `Not taken at home. ${byProtocol('averages readings taken at home', plan)}`
    case 'pressure-missing':
      return 'Systolic or diastolic is missing. Rule of this gateway: both or neither count, so that each mean rests on the same readings.'
    case 'same-reading-again':
      return sameReadingText(sameAs)
    case 'excluded-by-policy':
      return `Left out for what was noticed about it: ${excludedFor.map(findingWords).join(', ')}. This is this clinic’s own policy; published protocols average such readings.`
    case 'other-position':
      return `Said to have been taken ${session.position}. ${byProtocol('averages readings taken sitting', plan)}`
    case 'other-site':
      return session.site === 'wrist'
        ? 'Taken at the wrist while readings of the upper arm exist. Rule of this gateway: sites are never pooled.'
        : 'Taken on the upper arm while the arm that the plan names has readings of the wrist only. Rule of this gateway: sites are never pooled.'
    case 'other-arm':
      return otherArmText(session, plan)
    case 'site-not-stated':
      return siteNotStatedText(session)
    case 'arm-not-stated':
      return armNotStatedText(session, plan)
    case 'outside-window':
      return `Taken outside ${windowsText(plan)}. ${byProtocol('measures in these hours', plan)}`
    case 'first-day':
      return firstDayText(plan)
    case 'extra-sitting':
      return `Of a further sitting in the same part of the day. ${byProtocol('counts the first sitting of each', plan)}`
    case 'extra-reading':
      return `Beyond the ${counted(readingsPerSitting.asked, 'reading')} of a sitting that ${readingsPerSitting.asked === 1 ? 'is' : 'are'} asked for. ${byProtocol('leaves further ones out', plan)}`
    case 'first-reading':
      return firstReadingText(leaveOut.firstReading, plan)
  }
}

function sameReadingText(sameAs: PlacedReading | undefined): string {
  const rule = 'Rule of this gateway: one measurement counts once.'
  return sameAs === undefined
    ? `Sent twice: another sitting has a reading of the same moment with the same numbers. ${rule}`
    : `Received through another source too: ${sameAs.source} has a reading with the same numbers at most ${SAME_MOMENT_MS / 1000} seconds apart, which stands in its place. ${rule}`
}

/** Either the reading does not state its site, or it does and those averaged do not. */
function siteNotStatedText({ site }: Session): string {
  return site === undefined
    ? 'Its source did not state the site, which the readings averaged do state. Rule of this gateway: sites are never pooled and never guessed.'
    : 'Its site is stated, and the readings averaged do not state theirs. Rule of this gateway: sites are never pooled and never guessed.'
}

/** As above, of the arm; a plan that names one averages readings that state it. */
function armNotStatedText({ arm }: Session, plan: PeriodPlan): string {
  const rule = 'Rule of this gateway: arms are never pooled and never guessed.'
  if (arm !== undefined)
    return `Its arm is stated, and the readings averaged, which are more, do not state theirs. ${rule}`
  return plan.arm === undefined
    ? `Its source did not state the arm, which the readings averaged do state. ${rule}`
    : `Its source did not state the arm, and the plan asks for the ${plan.arm} one. ${rule}`
}

/** Where a plan names an arm there may be no reading of it, and nothing averaged. */
function otherArmText({ arm }: Session, plan: PeriodPlan): string {
  const rule = 'Rule of this gateway: arms are never pooled.'
  return arm === undefined || plan.arm === undefined
    ? `Taken on the other arm than the one averaged. ${rule}`
    : `Taken on the ${arm} arm, and the plan asks for the ${plan.arm} one. ${rule}`
}

function firstDayText(plan: PeriodPlan): string {
  const { firstDays, partialFirstDay } = plan.protocol.leaveOut
  const days = firstDays === 1 ? 'the first day' : `the first ${firstDays} days`
  if (partialFirstDay === 'is-the-first-day')
    return `Taken on ${days} of measuring. ${byProtocol(`leaves ${days} out`, plan)}`
  if (firstDays === 0)
    return `Taken on a first day that misses a sitting. ${byProtocol('leaves such a day out', plan)}`
  return `Taken on ${days} of measuring, or on a day before that misses a sitting. ${byProtocol(`leaves ${days} out, and such a day beside`, plan)}`
}

function firstReadingText(
  rule: PeriodPlan['protocol']['leaveOut']['firstReading'],
  plan: PeriodPlan,
): string {
  if (rule === 'drop-unless-alone')
    return `First reading of its sitting, which has others. ${byProtocol('then leaves it out', plan)}`
  if (typeof rule === 'string') return `First reading of its sitting. ${byProtocol('leaves it out', plan)}`
  return `First reading of its sitting, its systolic more than ${rule.dropWhenHigherThanMeanOfOthersByMmHg} mmHg above the mean of the others. ${byProtocol('then leaves it out', plan)}`
}

function byProtocol(what: string, { protocol }: PeriodPlan): string {
  return `The protocol "${protocol.title}" ${what}. Source: ${protocol.citation.text}.`
}

function windowsText({ protocol }: PeriodPlan): string {
  return protocol.sittings.map(({ name, from, to }) => `the ${name} (${from} to ${to})`).join(' and ')
}

function counted(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}
