import { readInstant } from '../../basics/instant.ts'
import { isJsonObject } from '../../basics/json-object.ts'
import { addDays, startOfDay } from '../../basics/local-day.ts'
import { instantInZone } from '../../fhir/instant-in-zone.ts'
import { type Found, textOf } from '../found.ts'
import type { TimedReading } from '../readings/bundle-readings.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import type { OwnStatements } from '../stated/own-statements.ts'

/** The effective period beside the days of the plan: from their first instant to their last second. */
export function comparePlannedPeriod(average: Found, own: OwnStatements): readonly AverageDifference[] {
  const { effectivePeriod } = average.value
  if (!isJsonObject(effectivePeriod)) return []
  const { zone, firstDay, lastDay } = own
  const expected = {
    start: startOfDay(firstDay, zone),
    end: startOfDay(addDays(lastDay, 1), zone) - 1000,
  }
  return (['start', 'end'] as const).flatMap((end) => {
    const text = textOf(effectivePeriod[end])
    if (text !== undefined && readInstant(text)?.epochMs === expected[end]) return []
    return [
      {
        what: `${end} of the period`,
        at: `${average.at}.effective.${end}`,
        expected: instantInZone(expected[end], zone),
        found: text ?? 'none',
      },
    ]
  })
}

/**
 * The effective period beside the readings: it must hold each of them. An end that is open or a mere day holds all of it.
 */
export function compareCoveredPeriod(
  average: Found,
  readings: readonly TimedReading[],
): readonly AverageDifference[] {
  const { effectivePeriod } = average.value
  const inOrder = readings.toSorted((a, b) => a.takenAt.epochMs - b.takenAt.epochMs)
  const [first, last] = [inOrder[0], inOrder.at(-1)]
  if (!isJsonObject(effectivePeriod) || first === undefined || last === undefined) return []
  const start = textOf(effectivePeriod.start)
  const end = textOf(effectivePeriod.end)
  const differences: AverageDifference[] = []
  if (start !== undefined && isLater(start, first)) {
    differences.push({
      what: 'start of the period',
      at: `${average.at}.effective.start`,
      expected: `no later than the first reading averaged, ${first.takenAt.text}`,
      found: start,
    })
  }
  if (end !== undefined && isEarlier(end, last)) {
    differences.push({
      what: 'end of the period',
      at: `${average.at}.effective.end`,
      expected: `no earlier than the last reading averaged, ${last.takenAt.text}`,
      found: end,
    })
  }
  return differences
}

function isLater(text: string, { takenAt }: TimedReading): boolean {
  const instant = readInstant(text)
  return instant === undefined ? startsAfter(text, takenAt.text) : instant.epochMs > takenAt.epochMs
}

function isEarlier(text: string, { takenAt }: TimedReading): boolean {
  const instant = readInstant(text)
  return instant === undefined ? startsAfter(takenAt.text, text) : instant.epochMs < takenAt.epochMs
}

/** Of a day, month or year and a moment, by as much as the shorter of them says. */
function startsAfter(a: string, b: string): boolean {
  if (!/^\d{4}(?:-\d\d){0,2}$/.test(a.length < b.length ? a : b)) return false
  const said = Math.min(a.length, b.length, 10)
  return a.slice(0, said) > b.slice(0, said)
}
