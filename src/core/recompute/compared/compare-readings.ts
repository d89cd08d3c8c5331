import type { JsonObject } from '../../basics/json-object.ts'
import { leftOutText } from '../../clinical/averaging/left-out-text.ts'
import type { PeriodAverage, PlacedReading } from '../../clinical/averaging/period-average.ts'
import type { Reading } from '../../clinical/session.ts'
import { readingText } from '../figure-text.ts'
import type { Found } from '../found.ts'
import type { TimedReading } from '../readings/bundle-readings.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { Exclusion } from '../stated/own-statements.ts'
import type { ReadingLink } from '../stated/stated-average.ts'

/** What an average says of its readings: those it derives from, and, if it is ours, those it leaves out. */
export interface StatedSelection {
  readonly average: Found
  readonly derivedFrom: readonly ReadingLink[]
  /** Undefined for an average that has no place to say so. */
  readonly exclusions: readonly Exclusion[] | undefined
}

/** The readings listed and left out beside those the protocol lets count, each difference by its reading. */
export function compareReadings(
  { average, derivedFrom, exclusions }: StatedSelection,
  recomputed: PeriodAverage,
  stated: ReadonlyMap<Reading, TimedReading>,
): readonly AverageDifference[] {
  const readingOf = ({ reading }: PlacedReading) => stated.get(reading)
  const used = new Map(recomputed.used.map((placed) => [readingOf(placed)?.found.value, placed]))
  const leftOut = new Map(recomputed.leftOut.map((one) => [readingOf(one.placed)?.found.value, one]))
  const inWords = (placed: PlacedReading) => textOf(readingOf(placed))
  const listed = linked(derivedFrom)
  const excluded = linked(exclusions ?? [])
  const differences: AverageDifference[] = []

  for (const { at, target } of derivedFrom) {
    const out = leftOut.get(target?.value)
    if (out === undefined) continue
    const why = leftOutText(out.reason, recomputed.plan, out.placed)
    differences.push({
      what: AVERAGED,
      at,
      expected: `without ${inWords(out.placed)}: ${why}`,
      found: 'it is listed as averaged',
    })
  }
  for (const [reading, placed] of used) {
    if (reading === undefined || listed.has(reading)) continue
    const said = excluded.get(reading)
    differences.push({
      what: AVERAGED,
      at: said === undefined ? `${average.at}.derivedFrom` : said.at,
      expected: `with ${inWords(placed)}, which counts`,
      found: said === undefined ? 'it is not listed' : 'it is left out',
    })
  }
  if (exclusions === undefined) return differences
  for (const { at, reasonAt, reason, target } of exclusions) {
    const counts = target !== undefined && listed.has(target.value) ? used.get(target.value) : undefined
    if (counts !== undefined) {
      const expected = `without ${inWords(counts)}, which counts`
      differences.push({ what: LEFT_OUT, at, expected, found: 'it is averaged and named as left out' })
    }
    const out = leftOut.get(target?.value)
    if (out === undefined || out.reason === reason) continue
    differences.push({
      what: 'why a reading is left out',
      at: reason === '' ? at : reasonAt,
      expected: out.reason,
      found: reason === '' ? 'no reason' : reason,
    })
  }
  for (const [reading, { placed, reason }] of leftOut) {
    if (reading === undefined || excluded.has(reading) || listed.has(reading)) continue
    differences.push({
      what: LEFT_OUT,
      at: `${average.at}.extension`,
      expected: `with ${inWords(placed)}, left out for ${reason}`,
      found: 'it is neither averaged nor named as left out',
    })
  }
  return differences
}

const AVERAGED = 'readings averaged'
const LEFT_OUT = 'readings left out'

/** Each target of links, with the first link that leads to it. */
function linked<L extends ReadingLink>(links: readonly L[]): ReadonlyMap<JsonObject, L> {
  const targets = new Map<JsonObject, L>()
  for (const link of links) {
    if (link.target !== undefined && !targets.has(link.target.value)) targets.set(link.target.value, link)
  }
  return targets
}

function textOf(reading: TimedReading | undefined): string {
  return reading === undefined ? 'a reading' : `${readingText(reading)} (${reading.found.at})`
}
