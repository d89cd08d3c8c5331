import { R4_BASE } from '../r4-base.ts'

/**
 * Whether a constraint in a profile is one of R4's own types, repeated in a snapshot: these are judged with the types.
 * A snapshot names the definition a constraint comes from; without that the key decides.
 */
export function isOfR4(key: string, source: unknown): boolean {
  if (typeof source === 'string' && source.startsWith(R4_BASE)) {
    // Types of R4 begin with a capital, its profiles do not.
    return /^[A-Z]/.test(source.slice(R4_BASE.length))
  }
  return source === undefined && OF_TYPES.test(key)
}

/** Source: FHIR R4 4.0.1, the constraint keys of its data types and of the resource types spoken here. */
const OF_TYPES =
  /^(?:ele|ext|dom|obs|qty|sqty|mqty|per|ref|att|cpt|pat|dev|bdl|sev|txt|rng|rat|tim|trd|exp|drq|age|cnt|dis|drt|ctm|ras|uco)-\d+$/
