import { daysBetween } from '../../basics/local-day.ts'
import type { PeriodAverage } from '../averaging/period-average.ts'
import type { IntegritySignal } from './integrity-signal.ts'
import { SIGNAL_LEVELS } from './signal-levels.ts'

/** Raised when a quarter of the days asked for, and two at least, have no complete home reading. Common practice. */
export function daysWithoutReadings({ plan, adherence }: PeriodAverage): readonly IntegritySignal[] {
  const count = adherence.daysWithout.length
  const of = daysBetween(plan.firstDay, plan.lastDay) + 1
  const { least, share } = SIGNAL_LEVELS.daysWithout
  if (count < least || count < of * share) return []
  return [
    {
      code: 'days-without-readings',
      count,
      of,
      text:
        `${count} of ${of} days asked for have no complete home reading. Days away, a flat battery or readings not yet ` +
        'sent may explain it; whether enough days are left is judged apart.',
      citation: 'common-practice',
    },
  ]
}
