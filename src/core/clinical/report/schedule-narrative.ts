import { counted } from './narrative-words.ts'
import type { PeriodSummary } from './period-summary.ts'

/** Whether the schedule was kept and whether what came of it is enough, days and readings apart. */
export function scheduleLine({ adherence, sufficiency }: PeriodSummary): string {
  return [keptText(adherence), daysText(sufficiency, adherence), ...readingsText(sufficiency)].join(' ')
}

function keptText({
  sittingsAsked,
  sittingsHeld,
  sittingsShort,
  daysWithout,
}: PeriodSummary['adherence']): string {
  if (sittingsHeld === sittingsAsked && sittingsShort === 0)
    return `Schedule kept: all ${counted(sittingsAsked, 'sitting')}.`
  const short =
    sittingsShort === 0 ? '' : `, ${sittingsShort} of them with fewer readings than the rule asks for`
  return `Schedule: ${sittingsHeld} of ${counted(sittingsAsked, 'sitting')} held${short}${missedText(daysWithout)}.`
}

function missedText(days: readonly string[]): string {
  if (days.length === 0) return ''
  return days.length <= DAYS_LISTED
    ? `; no readings on ${days.join(', ')}`
    : `; no readings on ${days.length} days, ${days[0]} to ${days.at(-1)}`
}

const DAYS_LISTED = 3

/** A schedule may have been kept by readings none of which counts, as of the other arm. */
function daysText(
  { daysMeasured, leastDays, enoughDays }: PeriodSummary['sufficiency'],
  { sittingsHeld }: PeriodSummary['adherence'],
): string {
  if (daysMeasured === 0 && sittingsHeld > 0)
    return `Too few days: none with a reading that counts, the rule asks for at least ${leastDays}.`
  return `${enoughDays ? 'Enough days' : 'Too few days'}: measured on ${daysMeasured}, the rule asks for at least ${leastDays}.`
}

/** A rule that states no least number leaves nothing to say. */
function readingsText({
  readingsUsed,
  leastReadings,
  enoughReadings,
}: PeriodSummary['sufficiency']): readonly string[] {
  if (leastReadings === undefined) return []
  return [
    `${enoughReadings ? 'Enough readings' : 'Too few readings'}: ${readingsUsed} count, the rule asks for at least ${leastReadings}.`,
  ]
}
