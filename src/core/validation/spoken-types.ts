/** The R4 resource types this gateway sends, receives and validates. */
export const SPOKEN_TYPES = [
  'Observation',
  'Bundle',
  'Patient',
  'Device',
  'Provenance',
  'OperationOutcome',
  'AuditEvent',
] as const

export type SpokenType = (typeof SPOKEN_TYPES)[number]

const spoken: ReadonlySet<unknown> = new Set(SPOKEN_TYPES)

export function isSpokenType(name: unknown): name is SpokenType {
  return spoken.has(name)
}
