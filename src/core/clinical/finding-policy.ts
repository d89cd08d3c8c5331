import { type Finding, PLAUSIBILITY_CODES, TECHNIQUE_CODES } from './finding.ts'

/**
 * What a finding does to a period average. `exclude`: the reading is left out, with the finding as its reason.
 * `flag`: it is averaged, and the sensitivity pair shows the average without it. `ignore`: it is averaged and takes
 * part in the sensitivity pair too. Whatever is chosen, the finding stays with the reading.
 */
export const DISPOSITIONS = ['exclude', 'flag', 'ignore'] as const
export type Disposition = (typeof DISPOSITIONS)[number]

/** The findings a clinic may choose for: those about the measurement. A call for attention is about the person. */
export const POLICY_CODES = [...TECHNIQUE_CODES, ...PLAUSIBILITY_CODES] as const
export type PolicyCode = (typeof POLICY_CODES)[number]

/** A clinic's own choices; what it does not name goes by `dispositionOf`. */
export type FindingPolicy = Readonly<Partial<Record<PolicyCode, Disposition>>>

/**
 * What a finding does under a policy. Without a choice of the clinic nothing is excluded: published protocols average
 * all readings, so warnings are flagged and remarks of mere information ignored. A call for attention never moves an
 * average, whatever a policy says: a very high reading is not left out for being very high.
 */
export function dispositionOf(finding: Finding, policy: FindingPolicy): Disposition {
  if (finding.kind === 'attention') return 'ignore'
  const chosen: Disposition | undefined = policy[finding.code as PolicyCode]
  if (chosen !== undefined) return chosen
  return finding.severity === 'warning' ? 'flag' : 'ignore'
}
