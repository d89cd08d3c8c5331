import { readInstant } from '../../basics/instant.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import { RECEIVED_FROM } from '../../fhir/provenance.ts'
import type { BundleScope } from '../bundle-scope.ts'
import { type Found, urlEndsWith } from '../found.ts'
import { hasCode } from '../stated/codings.ts'
import { isReading, statedPulse } from '../stated/stated-reading.ts'

/** Where a reading stands in the sitting it was taken in. */
export interface SittingPlace {
  /** The session record it came in, the same text for all readings of it. */
  readonly sitting: string
  /** 1-based. */
  readonly ordinal: number
  readonly pulse?: number
  /** Name of the source its record came from, and when it was received, epoch ms. */
  readonly source?: string
  readonly receivedMs?: number
}

/**
 * Which readings were one sitting, as our Provenance tells: one for each session record, its source entity naming the
 * session and its source, its targets the Observations in their order, each reading followed by its pulse.
 */
export function sittingPlaces(scope: BundleScope): ReadonlyMap<JsonObject, SittingPlace> {
  const places = new Map<JsonObject, SittingPlace>()
  for (const entry of scope.entries) {
    if (entry.value.resourceType !== 'Provenance') continue
    const record = recordOf(entry)
    if (record === undefined || !Array.isArray(entry.value.target)) continue
    let ordinal = 0
    let last: JsonObject | undefined
    for (const target of entry.value.target) {
      const found = scope.resolve(target, entry)
      if (found === undefined) continue
      if (isReading(found.value)) {
        ordinal += 1
        last = found.value
        places.set(last, { ...record, ordinal })
      } else if (last !== undefined && isPulseOf(last, found.value)) {
        const pulse = statedPulse(found.value)
        places.set(last, { ...record, ordinal, ...(pulse === undefined ? {} : { pulse }) })
      }
    }
  }
  return places
}

function recordOf({ value }: Found): Omit<SittingPlace, 'ordinal' | 'pulse'> | undefined {
  const recorded = typeof value.recorded === 'string' ? readInstant(value.recorded) : undefined
  for (const { role, what } of objectsOf(value.entity)) {
    const identifier = isJsonObject(what) ? what.identifier : undefined
    if (role !== 'source' || !isJsonObject(identifier) || !urlEndsWith(identifier.system, 'session')) continue
    if (typeof identifier.value !== 'string') continue
    const source = sourceIn(what)
    return {
      sitting: identifier.value,
      ...(source === undefined ? {} : { source }),
      ...(recorded === undefined ? {} : { receivedMs: recorded.epochMs }),
    }
  }
  return undefined
}

function sourceIn(what: unknown): string | undefined {
  const display = isJsonObject(what) ? what.display : undefined
  return typeof display === 'string' && display.startsWith(RECEIVED_FROM)
    ? display.slice(RECEIVED_FROM.length)
    : undefined
}

function isPulseOf(reading: JsonObject, { code, effectiveDateTime }: JsonObject): boolean {
  return hasCode(code, SYSTEM.loinc, LOINC.heartRate.code) && effectiveDateTime === reading.effectiveDateTime
}
