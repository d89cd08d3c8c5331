/**
 * Who did what, when, told without health data: names of sources and destinations, UUIDs, counts and codes only.
 */
export interface AuditEntry {
  /** RFC 3339 text in UTC. */
  readonly at: string
  /** `source:harbour-app`, `operator`, `gateway`; after `#` the id of the API key it was done with, if it was with one. */
  readonly actor: string
  readonly action: AuditAction
  /** UUID or name of the thing acted on; empty when the input could not be identified. */
  readonly about: string
  readonly outcome: 'done' | 'refused' | 'failed'
  /** Counts and codes, in a fixed key order. */
  readonly detail: Readonly<Record<string, string | number>>
}

export const AUDIT_ACTIONS = [
  'session-received',
  'session-refused',
  'session-corrected',
  'session-withdrawn',
  'record-read',
  'source-registered',
  'key-issued',
  'key-revoked',
  'enrolment-saved',
  'period-opened',
  'period-closed',
  'period-reopened',
  'period-withdrawn',
  'attention-raised',
  'delivery-attempted',
  'delivery-retried',
  'delivery-confirmed',
  'route-chosen',
  'route-stopped',
  'route-resumed',
  'signing-key-made',
  'store-copied',
  'store-replaced',
] as const

export type AuditAction = (typeof AUDIT_ACTIONS)[number]

/** An audit entry in its place in the chain. */
export interface AuditRow extends AuditEntry {
  readonly seq: number
  /** SHA-256 over the previous row's hash and this entry, lower-case hex. The first row follows 64 zeros. */
  readonly hash: string
}
