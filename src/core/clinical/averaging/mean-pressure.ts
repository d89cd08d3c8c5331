import { type ExactMean, exactMean, meanOfMeans } from '../../basics/exact-mean.ts'
import { microPascals, type Pressure } from '../../basics/pressure.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { Session } from '../session.ts'
import type { MeanPressure, PlacedReading } from './period-average.ts'

export type Pooling = Protocol['pooling']

/**
 * Averages readings as exact fractions: systolic and diastolic in micropascals, pulse in beats per minute, each by
 * itself. `all-readings` gives every reading the same weight, `mean-of-sitting-means` every sitting. A reading without
 * a pulse lowers only the pulse count. Undefined for no readings.
 *
 * Readings must carry both pressures; `select-readings.ts` sees to that.
 */
export function meanPressure(readings: readonly PlacedReading[], pooling: Pooling): MeanPressure | undefined {
  const systolic = pooled(readings, pooling, ({ reading }) => microPascalsOf(reading.systolic))
  const diastolic = pooled(readings, pooling, ({ reading }) => microPascalsOf(reading.diastolic))
  const pulse = pooled(readings, pooling, ({ reading }) => reading.pulse)
  if (systolic === undefined || diastolic === undefined) return undefined
  return { systolic, diastolic, ...(pulse === undefined ? {} : { pulse }), readings: readings.length }
}

type Quantity = (placed: PlacedReading) => number | undefined

function pooled(
  readings: readonly PlacedReading[],
  pooling: Pooling,
  quantity: Quantity,
): ExactMean | undefined {
  if (pooling === 'all-readings') return exactMean(stated(readings, quantity))
  const sittings = new Map<Session, PlacedReading[]>()
  for (const placed of readings) {
    const sitting = sittings.get(placed.session)
    if (sitting === undefined) sittings.set(placed.session, [placed])
    else sitting.push(placed)
  }
  return meanOfMeans([...sittings.values()].flatMap((sitting) => exactMean(stated(sitting, quantity)) ?? []))
}

function stated(readings: readonly PlacedReading[], quantity: Quantity): readonly number[] {
  return readings.flatMap((placed) => quantity(placed) ?? [])
}

function microPascalsOf(pressure: Pressure | null): number | undefined {
  return pressure === null ? undefined : microPascals(pressure)
}
