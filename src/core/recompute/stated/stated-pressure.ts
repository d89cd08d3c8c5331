import { exactMean, rounded } from '../../basics/exact-mean.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { FINEST_STEP, MICROPASCALS_PER_MMHG, microPascals, type Pressure } from '../../basics/pressure.ts'
import { nameTwoUnits } from '../../basics/pressure-unit-words.ts'
import { UCUM } from '../../fhir/codes.ts'
import { urlEndsWith } from '../found.ts'

/** A pressure, null where there is none, or why it cannot be read as one: a clause. */
export type StatedPressure = { readonly pressure: Pressure | null } | { readonly problem: string }

/** No cuff holds more; beyond it sums would not be exact. */
const HIGHEST = { mmHg: 1000, kPa: 133.322 }

/**
 * A pressure as it was measured. Where our `measured-quantity` extension keeps the kPa that a source gave, that is what
 * is averaged, and the value in mmHg beside it must be the same pressure.
 */
export function statedPressure(quantity: unknown): StatedPressure {
  if (!isJsonObject(quantity)) return { pressure: null }
  const written = inUnit(quantity)
  if ('problem' in written || written.pressure === null) return written
  const source = objectsOf(quantity.extension).find(({ url }) =>
    urlEndsWith(url, 'StructureDefinition/measured-quantity'),
  )
  if (source === undefined || !isJsonObject(source.valueQuantity)) return exactly(written.pressure)
  const measured = inUnit(source.valueQuantity)
  if ('problem' in measured || measured.pressure === null) return measured
  const exact = exactly(measured.pressure)
  if ('problem' in exact) return exact
  const mean = exactMean([microPascals(measured.pressure)])
  const inMmHg = mean && rounded({ ...mean, count: mean.count * BigInt(MICROPASCALS_PER_MMHG) }, 2)
  return written.pressure.unit === 'mmHg' && inMmHg === written.pressure.value
    ? exact
    : { problem: 'its value in mmHg is not the pressure that it says was measured in kPa' }
}

/** The unit by its UCUM code; by its words where it has no code. */
export function unitOf({ code, unit }: JsonObject): Pressure['unit'] | undefined {
  const said = code ?? unit
  if (said === UCUM.mmHg.code || (code === undefined && said === UCUM.mmHg.unit)) return 'mmHg'
  return said === UCUM.kPa.code ? 'kPa' : undefined
}

function inUnit(quantity: JsonObject): StatedPressure {
  const { value } = quantity
  if (value === undefined || value === null) return { pressure: null }
  if (quantity.comparator !== undefined) return { problem: 'its value is a bound, and not what was measured' }
  const unit = unitOf(quantity)
  if (nameTwoUnits(quantity.code, quantity.unit)) {
    return { problem: 'its unit is one by its code and another by its words' }
  }
  if (unit === undefined) return { problem: 'its unit is neither mm[Hg] nor kPa' }
  if (typeof value !== 'number' || !(value >= 0 && value <= HIGHEST[unit]))
    return { problem: 'its value is not a pressure' }
  return { pressure: { value, unit } }
}

function exactly(pressure: Pressure): StatedPressure {
  const steps = pressure.value / FINEST_STEP[pressure.unit]
  return Math.abs(steps - Math.round(steps)) < 1e-6
    ? { pressure }
    : { problem: 'its value is finer than a tenth of a mmHg or a pascal' }
}
