import { type ExactMean, exactMean, meanOfMeans } from '../../basics/exact-mean.ts'
import { groupedBy } from '../../basics/grouped-by.ts'
import { microPascals } from '../../basics/pressure.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { MeanPressure, PlacedReading } from './period-average.ts'

export type Pooling = Protocol['pooling']
export type ZeroDiastolic = Protocol['leaveOut']['zeroDiastolic']

/**
 * Averages readings as exact fractions: systolic and diastolic in micropascals, pulse in beats per minute, each by
 * itself. `all-readings` gives every reading the same weight, `mean-of-sitting-means` every sitting. A reading without
 * a pulse lowers only the pulse count. Undefined for no readings.
 *
 * A diastolic of zero, as heard by ear, is a number like others, or with `leave-out-beside-others` left out of the
 * diastolic mean alone, when its sitting has another among these readings; a sitting of zeros has the mean zero.
 *
 * Readings must carry both pressures; `selectReadings` sees to that.
 */
export function meanPressure(
  readings: readonly PlacedReading[],
  pooling: Pooling,
  zeroDiastolic: ZeroDiastolic = 'keep',
): MeanPressure | undefined {
  const sittings = bySitting(readings)
  const diastolics = sittings.map((sitting) => diastolicsOf(sitting, zeroDiastolic))
  const systolic = pooled(sittings.map(systolicsOf), pooling)
  const diastolic = pooled(diastolics, pooling)
  const pulse = pooled(sittings.map(pulsesOf), pooling)
  if (systolic === undefined || diastolic === undefined) return undefined
  return {
    systolic,
    diastolic,
    ...(pulse === undefined ? {} : { pulse }),
    readings: readings.length,
    diastolicReadings: diastolics.flat().length,
  }
}

function bySitting(readings: readonly PlacedReading[]): readonly (readonly PlacedReading[])[] {
  return [...groupedBy(readings, ({ session }) => session).values()]
}

function pooled(sittings: readonly (readonly number[])[], pooling: Pooling): ExactMean | undefined {
  if (pooling === 'all-readings') return exactMean(sittings.flat())
  return meanOfMeans(sittings.flatMap((values) => exactMean(values) ?? []))
}

function systolicsOf(sitting: readonly PlacedReading[]): readonly number[] {
  return sitting.flatMap(({ reading: { systolic } }) => (systolic === null ? [] : microPascals(systolic)))
}

function diastolicsOf(sitting: readonly PlacedReading[], zeroDiastolic: ZeroDiastolic): readonly number[] {
  const all = sitting.flatMap(({ reading: { diastolic } }) =>
    diastolic === null ? [] : microPascals(diastolic),
  )
  const heard = all.filter((value) => value !== 0)
  return zeroDiastolic === 'keep' || heard.length === 0 ? all : heard
}

function pulsesOf(sitting: readonly PlacedReading[]): readonly number[] {
  return sitting.flatMap(({ reading: { pulse } }) => pulse ?? [])
}
