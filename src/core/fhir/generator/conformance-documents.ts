import type { CodeSystem, StructureDefinition, ValueSet } from 'fhir/r4.js'
import { DEFAULT_CANONICAL_BASE } from '../canonical-base.ts'
import { ownUrls } from '../own-urls.ts'
import { attentionProfile } from './attention-profile.ts'
import { ownCodeSystems } from './code-systems.ts'
import { meanProfiles } from './mean-profiles.ts'
import { provenanceProfiles } from './provenance-profiles.ts'
import { sessionProfiles } from './session-profiles.ts'
import { ownValueSets } from './value-sets.ts'

type ConformanceDocument = StructureDefinition | ValueSet | CodeSystem

/**
 * The profiles, value sets and code systems that follow from the code, by their path in `profiles/`. The definitions of
 * extensions are written by hand, beside the profiles.
 */
export function conformanceDocuments(): ReadonlyMap<string, ConformanceDocument> {
  const own = ownUrls(DEFAULT_CANONICAL_BASE)
  const profiles = [
    ...sessionProfiles(own),
    ...meanProfiles(own),
    attentionProfile(own),
    ...provenanceProfiles(own),
  ]
  return new Map<string, ConformanceDocument>([
    ...profiles.map((one) => [`structure-definitions/${one.id}.json`, one] as const),
    ...ownValueSets(own).map((one) => [`value-sets/${one.id}.json`, one] as const),
    ...ownCodeSystems(own).map((one) => [`code-systems/${one.id}.json`, one] as const),
  ])
}
