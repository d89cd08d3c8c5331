import { groupedBy } from '../../basics/grouped-by.ts'
import { microPascals, type Pressure } from '../../basics/pressure.ts'
import type { TimedReading } from '../readings/bundle-readings.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { ReadingLink } from '../stated/stated-average.ts'

/**
 * Readings that another system lists under two ids: of one moment, with the same numbers, and with nothing else that
 * both state and that differs. Each counts twice in its mean. Where readings of one moment have other numbers, moments
 * are those of sittings, and equal readings of one sitting may well be two.
 */
export function compareRepeats(
  links: readonly ReadingLink[],
  listed: readonly TimedReading[],
): readonly AverageDifference[] {
  const standing = listed.filter(({ enteredInError }) => !enteredInError)
  const firsts = new Map<unknown, TimedReading>()
  for (const [first, ...others] of groupedBy(standing, ({ takenAt }) => takenAt.epochMs).values()) {
    if (first === undefined) continue
    for (const one of others) {
      if (!hasSameNumbers(first, one)) return []
      if (mayBeSame(first, one)) firsts.set(one.found.value, first)
    }
  }
  return links.flatMap(({ at, target }) => {
    const first = firsts.get(target?.value)
    if (first === undefined) return []
    const found = `one of the same moment and numbers as ${first.found.at}`
    return [{ what: 'readings averaged', at, expected: 'each reading once', found }]
  })
}

function hasSameNumbers(a: TimedReading, b: TimedReading): boolean {
  return isSame(a.systolic, b.systolic) && isSame(a.diastolic, b.diastolic)
}

function isSame(a: Pressure | null, b: Pressure | null): boolean {
  return a === null || b === null ? a === b : microPascals(a) === microPascals(b)
}

function mayBeSame(a: TimedReading, b: TimedReading): boolean {
  return agrees(a.pulse, b.pulse) && agrees(a.limb.arm, b.limb.arm) && agrees(a.limb.site, b.limb.site)
}

function agrees<Value>(a: Value | undefined, b: Value | undefined): boolean {
  return a === undefined || b === undefined || a === b
}
