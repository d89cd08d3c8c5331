import { countText } from '../figure-text.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { FoundAverage } from '../stated/find-averages.ts'
import type { ReadingLink } from '../stated/stated-average.ts'
import type { BundleReadings, TimedReading } from './bundle-readings.ts'
import { isTimed } from './bundle-readings.ts'
import { subjectKey } from './subject-key.ts'

/** The readings some links lead to, each once, or why they cannot be averaged: a sentence. */
export type LinkedReadings =
  | {
      readonly ok: true
      readonly readings: readonly TimedReading[]
      /** Links that should not be there: to a reading of someone else, or to one that is listed already. */
      readonly differences: readonly AverageDifference[]
    }
  | { readonly ok: false; readonly reason: string }

/** @param inWords what the links say of the readings: "it was derived from". */
export function linkedReadings(
  { average, scope }: FoundAverage,
  links: readonly ReadingLink[],
  bundle: BundleReadings,
  inWords: string,
): LinkedReadings {
  const there = links.filter(({ target }) => target !== undefined).length
  if (there < links.length) {
    const reason = `Of the ${countText(links.length, 'reading')} that ${inWords}, ${there} ${there === 1 ? 'is' : 'are'} in the bundle.`
    return { ok: false, reason }
  }
  const subject = subjectKey(average, scope)
  const readings = new Set<TimedReading>()
  const differences: AverageDifference[] = []
  for (const { at, target } of links) {
    if (target === undefined) continue
    const reading = bundle.reading(target)
    const { problem } = reading
    if (problem !== undefined || !isTimed(reading)) {
      return { ok: false, reason: `A reading that ${inWords} cannot be averaged (${target.at}): ${problem}.` }
    }
    if (subjectKey(target, scope) !== subject) {
      differences.push({
        what: 'whose readings',
        at,
        expected: 'a reading of the same patient',
        found: 'one of another patient',
      })
    } else if (readings.has(reading)) {
      differences.push({
        what: 'readings averaged',
        at,
        expected: 'each reading once',
        found: 'one that is listed before',
      })
    } else readings.add(reading)
  }
  return { ok: true, readings: [...readings], differences }
}
