import { LOINC } from '../codes/code-systems.ts'
import { isJsonObject, objectsOf } from '../json-object.ts'
import type { Layer } from '../layer.ts'
import { averageBloodPressure } from './average-blood-pressure.ts'
import { bloodPressure } from './blood-pressure.ts'
import { heartRate } from './heart-rate.ts'
import type { Profile } from './profile.ts'

export const PROFILES: readonly Profile[] = [bloodPressure, heartRate, averageBloodPressure]

/** The published profiles whose LOINC codes an Observation carries, and those it claims in `meta.profile`. */
export const profilesLayer: Layer = (resource, at, report, errorsOnly) => {
  if (resource.resourceType !== 'Observation') return
  for (const profile of PROFILES) {
    if (hasCodeOf(profile, resource.code) || claims(profile, resource.meta))
      profile.check(resource, at, report, errorsOnly)
  }
}

function hasCodeOf({ codes }: Profile, concept: unknown): boolean {
  if (!isJsonObject(concept)) return false
  for (const { system, code } of objectsOf(concept.coding)) {
    if (system === LOINC && typeof code === 'string' && codes.has(code)) return true
  }
  return false
}

/** With or without a version: `http://hl7.org/fhir/StructureDefinition/bp|4.0.1`. */
function claims({ url }: Profile, meta: unknown): boolean {
  if (!isJsonObject(meta) || !Array.isArray(meta.profile)) return false
  for (const claimed of meta.profile) {
    if (claimed === url) return true
    if (typeof claimed === 'string' && claimed.startsWith(url) && claimed[url.length] === '|') return true
  }
  return false
}
