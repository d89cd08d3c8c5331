/** A registered home app or feed: the only thing that may submit sessions. */
export interface Source {
  /** Lower-case name used in paths, identifiers and audit rows: `harbour-app`. */
  readonly name: string
  readonly title: string
}

export const SOURCE_NAME = /^[a-z0-9][a-z0-9-]{0,62}$/

/** What the holder of an API key may do. Each role is its own key: a source can submit, and nothing else. */
export type Role = 'submit' | 'read' | 'operate' | 'audit'

/** An API key as it is kept: only its digest. The key itself is shown once, when it is made. */
export interface AccessKey {
  /** SHA-256 of the key, lower-case hex. */
  readonly sha256: string
  readonly role: Role
  /** The one source a `submit` key speaks for; absent for the other roles. */
  readonly source?: string
  /** What whoever made it calls it. */
  readonly label?: string
  /** RFC 3339 text in UTC; absent for keys made before this was kept. */
  readonly madeAt?: string
  /** RFC 3339 text in UTC from which it opens nothing any more. */
  readonly revokedAt?: string
}

/** What a key is told by in lists and audit rows: the first 12 hex digits of its SHA-256, which open nothing. */
export function keyId({ sha256 }: Pick<AccessKey, 'sha256'>): string {
  return sha256.slice(0, 12)
}

export const KEY_ID = /^[0-9a-f]{12}$/
