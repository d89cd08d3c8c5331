/**
 * How the readings of an average vary. Doubles in mmHg, unrounded; every figure that needs more readings than there
 * are is absent, never zero.
 */
export interface PeriodStatistics {
  readonly systolic: PressureStatistics
  readonly diastolic: PressureStatistics
}

/** Of one of the two pressures. */
export interface PressureStatistics {
  /** Sample standard deviation (n - 1) of the readings, of the sittings' means and of the days' means. */
  readonly sd: Spread
  /** Coefficient of variation, per cent: 100 times SD over mean. */
  readonly cv: Spread
  /** Average real variability: the mean absolute difference of successive values in time order. */
  readonly arv: Spread
  /** 95 % interval of the mean, from the days' means (Student's t): readings of a day are not independent. */
  readonly interval?: Interval & { readonly days: number }
  /** Morning mean less evening mean, where the protocol has the two windows. */
  readonly morningLessEvening?: number
  /** Theil-Sen slope of the days' means, mmHg per day, with its 95 % interval. */
  readonly trend?: Interval & { readonly slope: number; readonly days: number }
  /** Mean of the first day of measuring less the mean of the later days; days the protocol leaves out take part. */
  readonly dayOneEffect?: number
  /** Mean over sittings of the first reading less the mean of the others; readings left out as first take part. */
  readonly firstReadingEffect?: number
  /** Square root of the mean within-sitting variance, weighted by degrees of freedom. */
  readonly withinSittingSd?: number
}

export interface Spread {
  readonly readings?: number
  readonly sittings?: number
  readonly days?: number
}

export interface Interval {
  readonly low: number
  readonly high: number
}
