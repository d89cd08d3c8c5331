/** What a FHIR server says it can do, as far as it matters here. `undefined` where its statement says nothing. */
export interface ServerAbilities {
  /** `fhirVersion` of the statement. */
  readonly fhirVersion?: string
  /** `transaction` among the interactions of the whole system. */
  readonly transaction: boolean
  readonly types: Readonly<Record<SentType | 'Patient', TypeAbilities>>
}

/** The types we send. */
export const SENT_TYPES = ['Device', 'Observation', 'Provenance'] as const
export type SentType = (typeof SENT_TYPES)[number]

export interface TypeAbilities {
  /** Whether the statement lists the type at all. */
  readonly listed: boolean
  readonly create: boolean
  readonly read: boolean
  readonly update: boolean
  readonly search: boolean
  /** Names of the search parameters listed for it. */
  readonly searchParameters: readonly string[]
  readonly conditionalCreate: boolean
  readonly conditionalUpdate: boolean
  /** Whether a PUT may make a resource under an id of ours. */
  readonly updateCreate: boolean
  readonly versioning: 'no-version' | 'versioned' | 'versioned-update' | 'not-said'
}

/** What the one harmless probe of a destination showed; see `probe.ts`. */
export type Probed = 'atomic' | 'not-atomic' | 'refused' | 'not-asked'

/**
 * Reads a CapabilityStatement. Undefined when it is none, or not of R4 (`fhirVersion` 4.0.x), or has no `rest` of mode
 * server. Never throws, whatever its shape.
 * Source: FHIR R4 4.0.1 capabilitystatement.html.
 */
export function readAbilities(_statement: unknown): ServerAbilities | undefined {
  throw new Error('to be written')
}
