import type { ResourcePlace } from './resource-place.ts'

/** R4 `id`: FHIR R4 4.0.1 datatypes.html. Dots alone would be steps of a path, and are no id here. */
const ID = /^(?!\.{1,2}$)[A-Za-z0-9\-.]{1,64}$/

/**
 * `[type]/[id]`, with `_history/[version]` or without: FHIR R4 4.0.1 references.html, literal references. It holds nothing
 * that the parser of addresses would write otherwise, no step of a path either.
 */
const PLACE =
  /^([A-Z][A-Za-z]{1,63})\/(?!\.{1,2}(?:\/|$))([A-Za-z0-9\-.]{1,64})(?:\/_history(?:\/(?!\.{1,2}(?:\/|$))([A-Za-z0-9\-.]{1,64}))?)?\/?$/

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
  if (location === undefined || location.length > LONGEST) return undefined
  const base = addressOf(baseUrl)
  if (base === undefined) return undefined
  // Most servers answer in one of these two ways, and of these no address need be made to read them.
  const known =
    placeIn(location) ??
    (location.startsWith(base.href) ? placeIn(location.slice(base.href.length)) : undefined)
  if (known !== undefined) return known
  if (!URL.canParse(location, base.href)) return undefined
  const url = new URL(location, base)
  const isSameHost = url.host === base.host && (url.protocol === 'http:' || url.protocol === 'https:')
  if (!isSameHost || !url.pathname.startsWith(base.pathname)) return undefined
  return placeIn(url.pathname.slice(base.pathname.length))
}

/** @param path under the base. */
function placeIn(path: string): ResourcePlace | undefined {
  const [, type, id, version] = PLACE.exec(path) ?? []
  if (type === undefined || id === undefined) return undefined
  return { type, id, ...(version === undefined ? {} : { version }) }
}

/** The base that was asked for last: answers name many places under the same one. */
let last: { readonly baseUrl: string; readonly address: URL | undefined } | undefined

function addressOf(baseUrl: string): URL | undefined {
  if (last?.baseUrl !== baseUrl) {
    const text = `${baseUrl}/`
    last = { baseUrl, address: URL.canParse(text) ? new URL(text) : undefined }
  }
  return last.address
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
