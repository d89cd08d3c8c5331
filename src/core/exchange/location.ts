import type { ResourcePlace } from './resource-place.ts'

/** R4 `id`: FHIR R4 4.0.1 datatypes.html. Dots alone would be steps of a path, and are no id here. */
const ID = /^(?!\.{1,2}$)[A-Za-z0-9\-.]{1,64}$/

/** `[type]/[id]`, with `_history/[version]` or without: FHIR R4 4.0.1 references.html, literal references. */
const PLACE = /^([A-Z][A-Za-z]{1,63})\/([A-Za-z0-9\-.]{1,64})(?:\/_history(?:\/([A-Za-z0-9\-.]{1,64}))?)?\/?$/

/** Longest Location that is looked at; common practice: what servers and proxies take as an address. */
const LONGEST = 4096

/**
 * Which resource a Location, a Content-Location or an `entry.response.location` names, when it is one under the base
 * URL: absolute, relative to the base (`Observation/1`) or to the host (`/fhir/Observation/1`), with its version or
 * without, and as `http:` of the same host, as servers behind a proxy write. Another origin is never followed, so what
 * it names is nothing to us.
 * Source: FHIR R4 4.0.1 http.html, create; RFC 9110 section 10.2.2; RFC 3986 section 5.
 *
 * @param baseUrl without a trailing slash.
 */
export function placeOf(location: string | undefined, baseUrl: string): ResourcePlace | undefined {
  const baseText = `${baseUrl}/`
  if (location === undefined || location.length > LONGEST) return undefined
  if (!URL.canParse(baseText) || !URL.canParse(location, baseText)) return undefined
  const base = new URL(baseText)
  const url = new URL(location, base)
  const isSameHost = url.host === base.host && (url.protocol === 'http:' || url.protocol === 'https:')
  if (!isSameHost || !url.pathname.startsWith(base.pathname)) return undefined
  const [, type, id, version] = PLACE.exec(url.pathname.slice(base.pathname.length)) ?? []
  if (type === undefined || id === undefined) return undefined
  return { type, id, ...(version === undefined ? {} : { version }) }
}

/** Where a resource is by what it says itself: its type, `id` and `meta.versionId`. */
export function ownPlaceOf(resource: Readonly<Record<string, unknown>>): ResourcePlace | undefined {
  const { resourceType, id, meta } = resource
  if (typeof resourceType !== 'string' || !isId(id)) return undefined
  const version =
    typeof meta === 'object' && meta !== null && 'versionId' in meta ? meta.versionId : undefined
  return { type: resourceType, id, ...(isId(version) ? { version } : {}) }
}

function isId(value: unknown): value is string {
  return typeof value === 'string' && ID.test(value)
}
