import type { Bundle, BundleEntry, FhirResource } from 'fhir/r4.js'
import { ownUrls } from '../../core/fhir/own-urls.ts'

/**
 * UUIDs of the sessions whose records a bundle of ours carries: each has its Provenance, which names it.
 *
 * @param bundle as it was issued.
 */
export function carriedSessions(
  { entry = [] }: Bundle<FhirResource>,
  canonicalBase: string,
): readonly string[] {
  return [...new Set(entry.flatMap((one) => sessionsExplained(one, canonicalBase)))]
}

/** UUIDs of the sessions that an entry is the Provenance of; none for any other entry. */
export function sessionsExplained(
  { resource }: BundleEntry<FhirResource>,
  canonicalBase: string,
): readonly string[] {
  if (resource?.resourceType !== 'Provenance') return []
  const { session } = ownUrls(canonicalBase).identifier
  const { entity = [] } = resource
  return entity.flatMap(({ what }) =>
    what.identifier?.system === session ? (what.identifier.value ?? []) : [],
  )
}
