import { isJsonObject } from '../../basics/json-object.ts'
import { LOINC, SYSTEM } from '../../fhir/codes.ts'
import { LIMITS } from '../../validation/limits.ts'
import { BundleScope } from '../bundle-scope.ts'
import { type Found, urlEndsWith } from '../found.ts'
import { codesOf } from './codings.ts'

/** An average with what its references can lead to. */
export interface FoundAverage {
  readonly average: Found
  readonly kind: AverageKind
  readonly scope: BundleScope
}

/** Of a period at home, or one mean of a 24-hour recording. */
export type AverageKind = 'home' | 'recording'

/** Every average of a resource: itself, those of a bundle, and those of bundles in its entries. */
export function findAverages(resource: unknown): readonly FoundAverage[] {
  if (!isJsonObject(resource)) return []
  if (resource.resourceType === 'Bundle') return inBundle({ value: resource, at: 'Bundle' }, 1)
  const average = { value: resource, at: 'Observation' }
  const kind = averageKind(average)
  return kind === undefined ? [] : [{ average, kind, scope: new BundleScope(undefined, 'Observation') }]
}

function inBundle(bundle: Found, depth: number): readonly FoundAverage[] {
  const scope = new BundleScope(bundle.value, bundle.at)
  return scope.entries.flatMap((entry): readonly FoundAverage[] => {
    if (entry.value.resourceType === 'Bundle') {
      return depth < LIMITS.resourceDepth ? inBundle(entry, depth + 1) : []
    }
    const kind = averageKind(entry)
    return kind === undefined ? [] : [{ average: entry, kind, scope }]
  })
}

/** By its code: LOINC’s panels of means, or our own code of a day or night mean. */
function averageKind({ value }: Found): AverageKind | undefined {
  if (value.resourceType !== 'Observation') return undefined
  const { code } = value
  const loinc = codesOf(code, SYSTEM.loinc)
  if (loinc.includes(LOINC.meanPanel.code)) return 'home'
  if (loinc.includes(LOINC.twentyFourHourPanel.code)) return 'recording'
  return isOwnPartMean(code) ? 'recording' : undefined
}

function isOwnPartMean(concept: unknown): boolean {
  if (!isJsonObject(concept) || !Array.isArray(concept.coding)) return false
  return concept.coding.some(
    (coding: unknown) =>
      isJsonObject(coding) &&
      (coding.code === 'day-mean' || coding.code === 'night-mean') &&
      urlEndsWith(coding.system, 'CodeSystem/home-bp-gateway'),
  )
}
