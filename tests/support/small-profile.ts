import type { ProfileSet } from '../../src/core/validation/profiles/profile-set.ts'
import { PUBLISHED_PROFILES } from '../../src/core/validation/profiles/published-profiles.ts'
import { type ReadProfilesOptions, readProfiles } from '../../src/core/validation/profiles/read-profiles.ts'
import { validateResource } from '../../src/core/validation/validate-resource.ts'

export const SMALL_URL = 'https://clinic.example/fhir/StructureDefinition/small'

type Json = Readonly<Record<string, unknown>>

/** A StructureDefinition of an invented clinic, with one rule or a few. */
export function smallProfile(element: readonly Json[], more: Json = {}): Json {
  const type = typeof more.type === 'string' ? more.type : 'Observation'
  return {
    resourceType: 'StructureDefinition',
    url: SMALL_URL,
    type,
    fhirVersion: '4.0.1',
    baseDefinition: `http://hl7.org/fhir/StructureDefinition/${type}`,
    derivation: 'constraint',
    differential: { element: [{ path: type }, ...element] },
    ...more,
  }
}

/** The published profiles with some documents added; throws what stands in the way. */
export function setWith(documents: readonly unknown[], options: ReadProfilesOptions = {}): ProfileSet {
  const read = readProfiles(documents, { base: PUBLISHED_PROFILES, ...options })
  if (!read.ok) throw new Error(JSON.stringify(read.issues))
  return read.value
}

/** What profiles say of a resource held to a small profile: severity, rule and place of each issue. */
export function judgedBy(element: readonly Json[], resource: unknown, more: Json = {}): readonly string[] {
  return judgedWith(setWith([smallProfile(element, more)]), resource)
}

export function judgedWith(profiles: ProfileSet, resource: unknown, asked = [SMALL_URL]): readonly string[] {
  return validateResource(resource, { profiles, asked })
    .filter(({ code, rule }) => code === 'PROFILE' || (code === 'NOT_SUPPORTED' && rule !== undefined))
    .map(({ severity, rule, at }) => `${severity} ${rule} ${at}`)
}
