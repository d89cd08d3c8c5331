/**
 * The `meta` of a resource without what its server notes in it by itself: version, time of the last change, and where it
 * came from. Profiles, tags and security labels stay. Source: FHIR R4 4.0.1, Resource.meta.
 */
export function withoutServerNotes<Noted extends object>(meta: Noted): Omit<Noted, keyof ServerNotes> {
  const { versionId: _, lastUpdated: __, source: ___, ...ours } = meta as Noted & ServerNotes
  return ours
}

interface ServerNotes {
  readonly versionId?: unknown
  readonly lastUpdated?: unknown
  readonly source?: unknown
}
