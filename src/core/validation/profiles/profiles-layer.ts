import { LOINC } from '../codes/code-systems.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../json-object.ts'
import type { Layer } from '../layer.ts'
import { averageBloodPressure } from './average-blood-pressure.ts'
import { bloodPressure } from './blood-pressure.ts'
import { heartRate } from './heart-rate.ts'
import type { Profile } from './profile.ts'

export const PROFILES: readonly Profile[] = [bloodPressure, heartRate, averageBloodPressure]

/** The published profiles whose LOINC codes an Observation carries. */
export const profilesLayer: Layer = (resource, at, report) => {
  if (resource.resourceType !== 'Observation' || !isJsonObject(resource.code)) return
  const codings = objectsOf(resource.code.coding)
  for (const profile of PROFILES) {
    if (applies(profile, codings)) profile.check(resource, at, report)
  }
}

function applies({ codes }: Profile, codings: readonly JsonObject[]): boolean {
  for (const { system, code } of codings) {
    if (system === LOINC && typeof code === 'string' && codes.has(code)) return true
  }
  return false
}
