import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import { LOINC, SYSTEM } from '../fhir/codes.ts'
import type { BundleScope } from './bundle-scope.ts'
import { hasCode } from './codings.ts'
import { type Found, urlEndsWith } from './found.ts'
import { isReading, statedPulse } from './stated-reading.ts'

/** Where a reading stands in the sitting it was taken in. */
export interface SittingPlace {
  /** The session record it came in, the same text for all readings of it. */
  readonly sitting: string
  /** 1-based. */
  readonly ordinal: number
  readonly pulse?: number
}

/**
 * Which readings were one sitting, as our Provenance tells: one for each session record, its source entity naming the
 * session, its targets the Observations in their order, each reading followed by its pulse.
 */
export function sittingPlaces(scope: BundleScope): ReadonlyMap<JsonObject, SittingPlace> {
  const places = new Map<JsonObject, SittingPlace>()
  for (const entry of scope.entries) {
    if (entry.value.resourceType !== 'Provenance') continue
    const sitting = sessionOf(entry)
    if (sitting === undefined || !Array.isArray(entry.value.target)) continue
    let ordinal = 0
    let last: JsonObject | undefined
    for (const target of entry.value.target) {
      const found = scope.resolve(target, entry)
      if (found === undefined) continue
      if (isReading(found.value)) {
        ordinal += 1
        last = found.value
        places.set(last, { sitting, ordinal })
      } else if (last !== undefined && isPulseOf(last, found.value)) {
        const pulse = statedPulse(found.value)
        places.set(last, { sitting, ordinal, ...(pulse === undefined ? {} : { pulse }) })
      }
    }
  }
  return places
}

function sessionOf({ value }: Found): string | undefined {
  for (const { role, what } of objectsOf(value.entity)) {
    const identifier = isJsonObject(what) ? what.identifier : undefined
    if (role !== 'source' || !isJsonObject(identifier) || !urlEndsWith(identifier.system, 'session')) continue
    if (typeof identifier.value === 'string') return identifier.value
  }
  return undefined
}

function isPulseOf(reading: JsonObject, { code, effectiveDateTime }: JsonObject): boolean {
  return hasCode(code, SYSTEM.loinc, LOINC.heartRate.code) && effectiveDateTime === reading.effectiveDateTime
}
