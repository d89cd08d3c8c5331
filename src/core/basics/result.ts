import type { Issue } from './issue.ts'

/** A value, or every issue that stood in its way. Never thrown: reading bad input is ordinary work. */
export type Result<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly issues: NonEmpty<Issue> }

export type NonEmpty<T> = readonly [T, ...T[]]

export function ok<T>(value: T): Result<T> {
  return { ok: true, value }
}

export function refused<T>(issues: NonEmpty<Issue>): Result<T> {
  return { ok: false, issues }
}

export function isNonEmpty<T>(items: readonly T[]): items is NonEmpty<T> {
  return items.length > 0
}
