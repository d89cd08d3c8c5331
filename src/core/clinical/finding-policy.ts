import type { Finding, FindingCode } from './finding.ts'

/**
 * What a finding does to a period average. `exclude`: the reading is left out, with the finding as its reason.
 * `flag`: it is averaged, and the sensitivity pair shows the average without it. `ignore`: it is averaged and takes
 * part in the sensitivity pair too. Whatever is chosen, the finding stays with the reading.
 */
export const DISPOSITIONS = ['exclude', 'flag', 'ignore'] as const

export type Disposition = (typeof DISPOSITIONS)[number]

/** A clinic's own choices; what it does not name goes by `dispositionOf`. */
export type FindingPolicy = Readonly<Partial<Record<FindingCode, Disposition>>>

/**
 * What a finding does under a policy. Without a choice of the clinic nothing is excluded: published protocols average
 * all readings, so warnings are flagged and remarks of mere information ignored. A call for attention says something
 * about the person, not about the measurement, so it never moves an average by itself.
 */
export function dispositionOf(finding: Finding, policy: FindingPolicy): Disposition {
  const chosen = policy[finding.code]
  if (chosen !== undefined) return chosen
  return finding.kind !== 'attention' && finding.severity === 'warning' ? 'flag' : 'ignore'
}
