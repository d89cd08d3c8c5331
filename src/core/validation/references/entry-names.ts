import { isJsonObject } from '../../basics/json-object.ts'

/** How the entries of a bundle are named, for references to be resolved. */
export interface EntryNames {
  /** Resource type by fullUrl; undefined for an entry without a resource. */
  readonly types: ReadonlyMap<string, string | undefined>
  /** `Patient/1` of each entry that has a fullUrl and a resource with an id. */
  readonly relative: ReadonlySet<string>
}

export function entryNames(entries: readonly unknown[]): EntryNames {
  const types = new Map<string, string | undefined>()
  const relative = new Set<string>()
  for (const entry of entries) {
    if (!isJsonObject(entry) || typeof entry.fullUrl !== 'string') continue
    const resource = isJsonObject(entry.resource) ? entry.resource : {}
    const type = typeof resource.resourceType === 'string' ? resource.resourceType : undefined
    types.set(entry.fullUrl, type)
    if (type !== undefined && typeof resource.id === 'string') relative.add(`${type}/${resource.id}`)
  }
  return { types, relative }
}

/**
 * The URL a reference in an entry means: a relative one goes on from where the entry's own type and id began.
 * Undefined when it is relative and the entry has no RESTful fullUrl.
 * Source: FHIR R4 4.0.1 bundle.html, "Resolving references in Bundles".
 */
export function resolved(reference: string, fullUrl: unknown): string | undefined {
  const versionless = reference.replace(/\/_history\/[^/]*$/, '')
  if (!RELATIVE.test(reference)) return versionless
  const [, base] = (typeof fullUrl === 'string' ? RESTFUL.exec(fullUrl) : null) ?? []
  return base === undefined ? undefined : base + versionless
}

/** `Patient/1`, with or without a version. */
export const RELATIVE = /^[A-Z][A-Za-z]+\/[A-Za-z0-9.-]{1,64}(?:\/_history\/[A-Za-z0-9.-]{1,64})?$/

/** The URL of a resource on a server: the base, then `Patient/1`. */
export const RESTFUL = /^(https?:\/\/.*\/)[A-Z][A-Za-z]+\/[A-Za-z0-9.-]{1,64}$/
