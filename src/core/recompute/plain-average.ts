import { type ExactMean, exactMean, meanOfMeans } from '../basics/exact-mean.ts'
import { microPascals } from '../basics/pressure.ts'
import { labelMean } from '../clinical/averaging/label-mean.ts'
import type { ThresholdSet } from '../clinical/protocol/threshold-set.ts'
import { compareCounts } from './compared/compare-counts.ts'
import { compareMeans, type RecomputedMeans } from './compared/compare-means.ts'
import { compareCoveredPeriod } from './compared/compare-period.ts'
import { decimalsOf, meanText, readingText } from './figure-text.ts'
import { textOf } from './found.ts'
import type { BundleReadings, TimedReading } from './readings/bundle-readings.ts'
import { regroupSittings } from './readings/regroup-sittings.ts'
import type { AverageDifference } from './recomputed-average.ts'
import type { FoundAverage } from './stated/find-averages.ts'
import { type OwnStatements, partOf } from './stated/own-statements.ts'
import { type ReadingLink, statedCounts, statedMeans } from './stated/stated-average.ts'
import { writtenDecimals } from './stated/written-decimals.ts'
import { writtenAs } from './written-as.ts'

/**
 * What can be checked of an average without its protocol: the mean of all readings it was derived from, their number,
 * and whether the period holds them.
 *
 * @param eitherPooling for a protocol that is stated and not known: it may weigh readings or sittings alike.
 */
export function comparePlainAverage(
  found: FoundAverage,
  links: readonly ReadingLink[],
  listed: readonly TimedReading[],
  bundle: BundleReadings,
  own: OwnStatements | undefined,
  eitherPooling: boolean,
): readonly AverageDifference[] {
  const { average } = found
  const stands = listed.filter(({ enteredInError }) => !enteredInError)
  const means = statedMeans(found)
  const decimals = own === undefined ? 0 : writtenDecimals(means, own)
  const byReading = compareMeans(means, pooledByReading(stands), decimals)
  const bySitting = eitherPooling ? compareMeans(means, pooledBySitting(stands, bundle), decimals) : byReading
  return [
    ...(bySitting.length === 0 ? [] : byReading),
    ...compareCounts(statedCounts(average), stands.length),
    ...compareCoveredPeriod(average, stands),
    ...takenBack(links, listed),
  ]
}

/** The mean pulse and the labels that one of our own averages states, beside the readings it was derived from. */
export function comparePlainStatements(
  own: OwnStatements,
  listed: readonly TimedReading[],
  sets: ReadonlyMap<string, ThresholdSet>,
  leastDecimals: number,
): readonly AverageDifference[] {
  const { systolic, diastolic } = pooledByReading(listed)
  const pulse = exactMean(listed.flatMap((reading) => reading.pulse ?? []))
  const differences: AverageDifference[] = []
  for (const { value, at } of own.extensions.get('mean-pulse') ?? []) {
    const stated = (value.valueQuantity as { readonly value?: unknown } | undefined)?.value
    if (typeof stated !== 'number' || pulse === undefined) continue
    if (writtenAs(pulse, stated, leastDecimals) === 'right') continue
    const expected = meanText(pulse, Math.max(decimalsOf(stated), leastDecimals), 'per minute')
    differences.push({ what: 'mean pulse', at: `${at}.value`, expected, found: `${stated} per minute` })
  }
  if (systolic === undefined || diastolic === undefined) return differences
  const mean = { systolic, diastolic, readings: listed.length, diastolicReadings: listed.length }
  for (const stated of own.extensions.get('average-label') ?? []) {
    const set = sets.get(textOf(partOf(stated, 'thresholdSet')?.value.valueString) ?? '')
    const label = partOf(stated, 'label')
    if (set === undefined || label === undefined) continue
    const expected = labelMean(mean, set).label
    const { valueString } = label.value
    if (valueString === expected) continue
    const what = `label (${set.id})`
    differences.push({ what, at: `${label.at}.value`, expected, found: textOf(valueString) ?? 'no text' })
  }
  return differences
}

function pooledByReading(readings: readonly TimedReading[]): RecomputedMeans {
  return {
    systolic: meanOf(readings, 'systolic'),
    diastolic: meanOf(readings, 'diastolic'),
  }
}

function pooledBySitting(readings: readonly TimedReading[], bundle: BundleReadings): RecomputedMeans {
  const { sittings, stated } = regroupSittings(readings, bundle, {
    ownClocks: false,
    excluded: () => false,
    rank: () => ({ late: 0, place: 0 }),
  })
  const grouped = sittings.map(({ session }) =>
    session.readings.flatMap((reading) => stated.get(reading) ?? []),
  )
  const pooled = (pressure: 'systolic' | 'diastolic') =>
    meanOfMeans(grouped.flatMap((sitting) => meanOf(sitting, pressure) ?? []))
  return { systolic: pooled('systolic'), diastolic: pooled('diastolic') }
}

function meanOf(
  readings: readonly TimedReading[],
  pressure: 'systolic' | 'diastolic',
): ExactMean | undefined {
  return exactMean(
    readings.flatMap((reading) => {
      const value = reading[pressure]
      return value === null ? [] : [microPascals(value)]
    }),
  )
}

function takenBack(
  links: readonly ReadingLink[],
  listed: readonly TimedReading[],
): readonly AverageDifference[] {
  const gone = new Map(
    listed.filter(({ enteredInError }) => enteredInError).map((reading) => [reading.found.value, reading]),
  )
  return links.flatMap(({ at, target }) => {
    const reading = target === undefined ? undefined : gone.get(target.value)
    if (reading === undefined) return []
    return [
      {
        what: 'readings averaged',
        at,
        expected: `without ${readingText(reading)}: it was entered in error`,
        found: 'it is listed as averaged',
      },
    ]
  })
}
