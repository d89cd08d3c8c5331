import type { Quantity } from 'fhir/r4.js'
import { rounded } from '../basics/exact-mean.ts'
import { MICROPASCALS_PER_MMHG, microPascals, type Pressure } from '../basics/pressure.ts'
import { SYSTEM, UCUM } from './codes.ts'

/** Digits after the point of a kPa pressure written in mmHg: finer than the pascal that a source may give. */
const DECIMALS_OF_CONVERTED = 2

/**
 * A measured pressure in `mm[Hg]`, the only unit the bp profile takes. What was measured in mmHg is written as it is.
 * What was measured in kPa is rounded to 0.01 mmHg, half away from zero, and carries the value and unit of the source
 * in our `measured-quantity` extension, so nothing is lost.
 * Source: FHIR R4 4.0.1 profile bp, fixed unit code; UCUM for the conversion.
 *
 * @param measuredQuantityUrl URL of our extension.
 */
export function measuredQuantity(pressure: Pressure, measuredQuantityUrl: string): Quantity {
  if (pressure.unit === 'mmHg') return mmHgQuantity(pressure.value)
  const exact = { total: BigInt(microPascals(pressure)), count: BigInt(MICROPASCALS_PER_MMHG) }
  const { unit, code } = UCUM.kPa
  const source: Quantity = { value: pressure.value, unit, system: SYSTEM.ucum, code }
  return {
    extension: [{ url: measuredQuantityUrl, valueQuantity: source }],
    ...mmHgQuantity(rounded(exact, DECIMALS_OF_CONVERTED)),
  }
}

export function mmHgQuantity(value: number): Quantity {
  return { value, unit: UCUM.mmHg.unit, system: SYSTEM.ucum, code: UCUM.mmHg.code }
}

/** Beats per minute. Source: FHIR R4 4.0.1 profile heartrate, fixed unit code `/min`. */
export function perMinuteQuantity(value: number): Quantity {
  return { value, unit: UCUM.perMinute.unit, system: SYSTEM.ucum, code: UCUM.perMinute.code }
}
