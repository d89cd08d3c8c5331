import type { LeftOutReason, PeriodPlan } from './period-average.ts'

/** Why a reading is left out, by which rule and on whose authority, as text for a person. Holds no measured value. */
export function leftOutText(reason: LeftOutReason, plan: PeriodPlan): string {
  const { protocol } = plan
  switch (reason) {
    case 'outside-period':
      return `Not taken on a day of the period, ${plan.firstDay} to ${plan.lastDay} in ${plan.zone}.`
    case 'other-setting':
      return `Not taken at home. ${byProtocol('averages readings taken at home', plan)}`
    case 'pressure-missing':
      return 'Systolic or diastolic is missing. Rule of this gateway: both or neither count, so that each mean rests on the same readings.'
    case 'other-site':
      return 'Taken at the wrist while readings of the upper arm exist. Rule of this gateway: sites are never pooled.'
    case 'other-arm':
      return 'Taken on the other arm than the one averaged. Rule of this gateway: arms are never pooled.'
    case 'outside-window':
      return `Taken outside ${windowsText(plan)}. ${byProtocol('measures in these hours', plan)}`
    case 'first-day': {
      const { firstDays } = protocol.leaveOut
      const days = firstDays === 1 ? 'the first day' : `the first ${firstDays} days`
      return `Taken on ${days} of measuring. ${byProtocol(`leaves ${days} out`, plan)}`
    }
    case 'first-reading': {
      const { firstReading } = protocol.leaveOut
      return typeof firstReading === 'string'
        ? `First reading of its sitting. ${byProtocol('leaves it out', plan)}`
        : `First reading of its sitting, its systolic more than ${firstReading.dropWhenHigherThanMeanOfOthersByMmHg} mmHg above the mean of the others. ${byProtocol('then leaves it out', plan)}`
    }
  }
}

function byProtocol(what: string, { protocol }: PeriodPlan): string {
  return `The protocol "${protocol.title}" ${what}. Source: ${protocol.citation.text}.`
}

function windowsText({ protocol }: PeriodPlan): string {
  return protocol.sittings.map(({ name, from, to }) => `the ${name} (${from} to ${to})`).join(' and ')
}
