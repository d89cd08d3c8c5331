import type { Bundle, FhirResource } from 'fhir/r4.js'
import { ownUrls } from '../../core/fhir/own-urls.ts'

/**
 * UUIDs of the sessions whose records a bundle of ours carries: each has its Provenance, which names it.
 *
 * @param text a bundle as it was issued, JSON text.
 */
export function carriedSessions(text: string, canonicalBase: string): readonly string[] {
  const { session } = ownUrls(canonicalBase).identifier
  const { entry = [] }: Bundle<FhirResource> = JSON.parse(text)
  const uuids = new Set<string>()
  for (const { resource } of entry) {
    if (resource?.resourceType !== 'Provenance') continue
    for (const { what } of resource.entity ?? []) {
      if (what.identifier?.system === session && what.identifier.value !== undefined) {
        uuids.add(what.identifier.value)
      }
    }
  }
  return [...uuids]
}
