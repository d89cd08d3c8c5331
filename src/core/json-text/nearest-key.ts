import { distance } from 'fastest-levenshtein'

/** Keys longer than this are not compared: no known key is half as long. */
const LONGEST_COMPARED = 60

/**
 * The allowed key that an unknown one most likely stands for, or undefined when none is near.
 *
 * Near means: the same but for case, `_`, `-` and spaces; a beginning of three letters or more that fits one
 * allowed key alone; or at most one slip of the pen in every three letters (edits counted by Levenshtein).
 */
export function nearestKey(key: string, allowed: readonly string[]): string | undefined {
  if (key.length > LONGEST_COMPARED) return undefined
  const wanted = bare(key)
  const same = allowed.find((candidate) => bare(candidate) === wanted)
  if (same !== undefined) return same

  const completions = allowed.filter((candidate) => bare(candidate).startsWith(wanted))
  if (wanted.length >= 3 && completions.length === 1) return completions[0]

  let nearest: string | undefined
  let fewest = Math.floor(wanted.length / 3) + 1
  for (const candidate of allowed) {
    const edits = distance(wanted, bare(candidate))
    if (edits < fewest) {
      fewest = edits
      nearest = candidate
    }
  }
  return nearest
}

/** The key without what differs between naming habits: `taken_at`, `TakenAt` and `taken-at` are one. */
export function bare(key: string): string {
  return key.replaceAll(/[\s_-]/g, '').toLowerCase()
}
