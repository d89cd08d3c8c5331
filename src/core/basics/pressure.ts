/**
 * A pressure as it was measured. The value and unit of the source are kept for ever; nothing here changes them.
 */
export interface Pressure {
  readonly value: number
  readonly unit: PressureUnit
}

export type PressureUnit = 'mmHg' | 'kPa'

/**
 * Micropascals in one mmHg: the unit in which pressures are summed and compared, so that readings in mmHg (to
 * a thousandth) and kPa (to a millionth) are whole numbers and a mean of both is exact.
 * Source: UCUM essence, unit m[Hg] = 133.3220 kPa, hence mm[Hg] = 133.322 Pa exactly.
 */
export const MICROPASCALS_PER_MMHG = 133_322_000

/** Micropascals in one kPa. */
export const MICROPASCALS_PER_KPA = 1_000_000_000

/** Digits after the point that a source may give: a tenth of a mmHg, or a thousandth of a kPa (one pascal). */
export const FINEST_STEP: Readonly<Record<PressureUnit, number>> = { mmHg: 0.1, kPa: 0.001 }

/**
 * The pressure as a whole number of micropascals. Exact for values within `FINEST_STEP`; a safe integer for
 * anything a cuff can hold (300 mmHg is 4.0e10).
 */
export function microPascals(pressure: Pressure): number {
  return pressure.unit === 'mmHg'
    ? Math.round(pressure.value * 10) * (MICROPASCALS_PER_MMHG / 10)
    : Math.round(pressure.value * 1000) * (MICROPASCALS_PER_KPA / 1000)
}

/** The pressure in mmHg, unrounded (a double). For display and limits; sums use `microPascals`. */
export function mmHg(pressure: Pressure): number {
  return pressure.unit === 'mmHg' ? pressure.value : microPascals(pressure) / MICROPASCALS_PER_MMHG
}
