import { DEFAULT_CANONICAL_BASE } from './canonical-base.ts'

/**
 * A conformance document of ours as it reads under the canonical base of a deployment: in every text that is a URL of
 * ours, alone, with a version or with a fragment, the default base gives way to the one of the settings. Names,
 * descriptions and the URLs of others stay as they are. The document handed in is not changed; under the default base
 * it is handed back itself.
 *
 * @param base without a trailing slash.
 */
export function rebased<T>(document: T, base: string): T
export function rebased(document: unknown, base: string): unknown {
  if (base === DEFAULT_CANONICAL_BASE) return document
  if (typeof document === 'string') return isOurs(document) ? base + document.slice(LENGTH) : document
  if (typeof document !== 'object' || document === null) return document
  if (Array.isArray(document)) return document.map((item: unknown) => rebased(item, base))
  return Object.fromEntries(Object.entries(document).map(([key, inner]) => [key, rebased(inner, base)]))
}

const LENGTH = DEFAULT_CANONICAL_BASE.length

/** The base itself or a path under it; not a longer host or path that happens to begin alike. */
function isOurs(text: string): boolean {
  return text.startsWith(DEFAULT_CANONICAL_BASE) && (text.length === LENGTH || text[LENGTH] === '/')
}
