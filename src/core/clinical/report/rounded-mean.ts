import { type ExactMean, rounded, roundedMmHg } from '../../basics/exact-mean.ts'
import { meanArterialPressure } from '../averaging/mean-arterial-pressure.ts'
import type { MeanPressure } from '../averaging/period-average.ts'

/** A mean for people and interfaces, each number rounded once, half away from zero. */
export interface RoundedMean {
  readonly systolicMmHg: number
  readonly diastolicMmHg: number
  /** Computed from the unrounded means, not measured. */
  readonly meanArterialMmHg: number
  readonly pulsePerMinute?: number
  readonly readings: number
  /** Readings in the diastolic mean; absent when it is all of them. */
  readonly diastolicReadings?: number
}

/** @param decimals digits after the point. */
export function roundedMean(mean: MeanPressure, decimals: 0 | 1): RoundedMean {
  const pressure = (exact: ExactMean) => roundedMmHg(exact, decimals)
  return {
    systolicMmHg: pressure(mean.systolic),
    diastolicMmHg: pressure(mean.diastolic),
    meanArterialMmHg: pressure(meanArterialPressure(mean)),
    ...(mean.pulse === undefined ? {} : { pulsePerMinute: rounded(mean.pulse, decimals) }),
    readings: mean.readings,
    ...(mean.diastolicReadings === mean.readings ? {} : { diastolicReadings: mean.diastolicReadings }),
  }
}
