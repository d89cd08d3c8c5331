import { type Stats, statSync } from 'node:fs'

/** What the system says of a path; undefined for what is not there, or is hidden from this user. */
export function statsOf(path: string): Stats | undefined {
  try {
    return statSync(path)
  } catch {
    return undefined
  }
}
