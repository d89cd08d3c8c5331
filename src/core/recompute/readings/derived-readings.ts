import { countText } from '../figure-text.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { FoundAverage } from '../stated/find-averages.ts'
import type { ReadingLink } from '../stated/stated-average.ts'
import type { BundleReadings, TimedReading } from './bundle-readings.ts'
import { isTimed } from './bundle-readings.ts'

/** The readings some links lead to, each once. */
export interface LinkedReadings {
  readonly readings: readonly TimedReading[]
  /** Links that should not be there: to a reading of someone else, or to one that is listed already. */
  readonly differences: readonly AverageDifference[]
  /** Why they cannot be averaged, a sentence; what is found to differ stands all the same. */
  readonly problem?: string
}

/** @param inWords what the links say of the readings: "it was derived from". */
export function linkedReadings(
  { average }: FoundAverage,
  links: readonly ReadingLink[],
  bundle: BundleReadings,
  inWords: string,
): LinkedReadings {
  const readings = new Set<TimedReading>()
  const differences: AverageDifference[] = []
  const problems: string[] = []
  const there = links.filter(({ target }) => target !== undefined).length
  if (there < links.length) {
    problems.push(
      `Of the ${countText(links.length, 'reading')} that ${inWords}, ${there} ${there === 1 ? 'is' : 'are'} in the bundle.`,
    )
  }
  for (const { at, target } of links) {
    if (target === undefined) continue
    const reading = bundle.reading(target)
    const isOfOne = bundle.subjects.areOfOne(average, target)
    if (isOfOne === 'no') {
      differences.push({ at, ...OF_ANOTHER })
      continue
    }
    if (isOfOne === 'not-told') differences.push({ at, ...OF_SOMEBODY })
    if (reading.problem !== undefined || !isTimed(reading)) {
      problems.push(`A reading that ${inWords} cannot be averaged (${target.at}): ${reading.problem}.`)
    } else if (readings.has(reading)) differences.push({ at, ...LISTED_BEFORE })
    else readings.add(reading)
  }
  const [problem] = problems
  return { readings: [...readings], differences, ...(problem === undefined ? {} : { problem }) }
}

const OF_ANOTHER = {
  what: 'whose readings',
  expected: 'a reading of the same patient',
  found: 'one of another patient',
}
/** It is averaged all the same, as the average says it was. */
const OF_SOMEBODY = {
  ...OF_ANOTHER,
  found:
    'one of which it cannot be told: its patient and that of the average are named in forms that share nothing',
}
const LISTED_BEFORE = {
  what: 'readings averaged',
  expected: 'each reading once',
  found: 'one that is listed before',
}
