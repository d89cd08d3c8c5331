import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import { OWN_EXTENSIONS } from '../../fhir/own-urls.ts'
import { decimalsOf } from '../figure-text.ts'
import type { OwnStatements } from './own-statements.ts'
import type { StatedMean } from './stated-average.ts'

/**
 * Digits after the point that one of our averages is written with. JSON does not keep them where they are 0, but an
 * average states many means: the digits that at least two of them show, so that one that was changed does not decide.
 */
export function writtenDecimals(means: readonly StatedMean[], { extensions }: OwnStatements): 0 | 1 {
  const parts = [
    ...(extensions.get(OWN_EXTENSIONS.meanPulse) ?? []).map(({ value }) => value),
    ...[OWN_EXTENSIONS.windowMean, OWN_EXTENSIONS.sensitivity].flatMap((name) =>
      (extensions.get(name) ?? []).flatMap(({ value }) => objectsOf(value.extension)),
    ),
  ]
  const values = [
    ...means.map(({ value }) => value),
    ...parts.map(({ valueQuantity }) => (isJsonObject(valueQuantity) ? valueQuantity.value : undefined)),
  ]
  const fine = values.filter((value) => typeof value === 'number' && decimalsOf(value) > 0)
  return fine.length >= 2 ? 1 : 0
}
