import { exactMean } from '../../basics/exact-mean.ts'
import { microPascals } from '../../basics/pressure.ts'
import type { Reading } from '../session.ts'
import type { MeanPressure } from './period-average.ts'

/**
 * The mean of readings as exact fractions, each reading of the same weight whatever the time since the one before.
 * Readings without both pressures take no part; one without a pulse lowers only the pulse count. Undefined for none.
 *
 * Means weighted by the time between readings exist, and give nights measured less often their share of the 24 hours.
 * They are not used here: the published rules that ship average the readings.
 */
export function meanOfReadings(readings: readonly Reading[]): MeanPressure | undefined {
  const systolics: number[] = []
  const diastolics: number[] = []
  const pulses: number[] = []
  for (const { systolic, diastolic, pulse } of readings) {
    if (systolic === null || diastolic === null) continue
    systolics.push(microPascals(systolic))
    diastolics.push(microPascals(diastolic))
    if (pulse !== undefined) pulses.push(pulse)
  }
  const systolic = exactMean(systolics)
  const diastolic = exactMean(diastolics)
  const pulse = exactMean(pulses)
  if (systolic === undefined || diastolic === undefined) return undefined
  return {
    systolic,
    diastolic,
    ...(pulse === undefined ? {} : { pulse }),
    readings: systolics.length,
    diastolicReadings: diastolics.length,
  }
}
