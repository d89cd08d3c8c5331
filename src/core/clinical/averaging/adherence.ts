import { addDays, daysBetween, type LocalDay } from '../../basics/local-day.ts'
import type { Adherence, PeriodPlan, PlacedReading } from './period-average.ts'

/** How the schedule was kept, by the complete home readings of the period. */
export function adherence(plan: PeriodPlan, completeHome: readonly PlacedReading[]): Adherence {
  const { protocol } = plan
  const days = daysOf(plan)
  const held = new Map<string, number>()
  for (const { day, window } of completeHome) {
    if (window !== undefined) held.set(`${day} ${window}`, (held.get(`${day} ${window}`) ?? 0) + 1)
  }
  const measured = new Set(completeHome.map(({ day }) => day))
  return {
    sittingsAsked: days.length * protocol.sittings.length,
    sittingsHeld: held.size,
    sittingsShort: [...held.values()].filter((readings) => readings < protocol.readingsPerSitting.least)
      .length,
    daysWithout: days.filter((day) => !measured.has(day)),
  }
}

function daysOf({ firstDay, lastDay }: PeriodPlan): readonly LocalDay[] {
  const count = Math.max(0, daysBetween(firstDay, lastDay) + 1)
  return Array.from({ length: count }, (_, after) => addDays(firstDay, after))
}
