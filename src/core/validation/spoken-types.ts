/** The R4 resource types this gateway sends and receives. */
export const SPOKEN_TYPES = [
  'Observation',
  'Bundle',
  'Patient',
  'Device',
  'Provenance',
  'OperationOutcome',
  'AuditEvent',
] as const

/** Those its own definitions are written in. */
const CONFORMANCE_TYPES = ['StructureDefinition', 'ValueSet', 'CodeSystem', 'CapabilityStatement'] as const

/** What operations are asked with. */
const OF_OPERATIONS = ['Parameters'] as const

const fullyJudged: ReadonlySet<unknown> = new Set([...SPOKEN_TYPES, ...CONFORMANCE_TYPES, ...OF_OPERATIONS])

/** Whether all invariants of the type are judged. Of other R4 types everything else is. */
export function isFullyJudged(name: unknown): boolean {
  return fullyJudged.has(name)
}
