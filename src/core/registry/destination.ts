import type { FindingPolicy } from '../clinical/finding-policy.ts'

/** A clinic's FHIR server and what it wants to be sent. */
export interface Destination {
  readonly name: string
  /** Base URL without a trailing slash: `https://records.example/fhir`. */
  readonly baseUrl: string
  readonly access: DestinationAccess
  /** `at-once`: each session's readings are posted when they arrive. `with-average`: only together with the average. */
  readonly readings: 'at-once' | 'with-average'
  /** Body position as a component (LOINC 8361-8) and extension, or as the extension alone for strict servers. */
  readonly positionAs: 'component-and-extension' | 'extension'
  /** SNOMED CT codings beside LOINC; needs the deployer's own SNOMED licence. */
  readonly snomed: boolean
  /** Digits after the point of a posted average: 1, or 0 for servers that hold whole numbers only. */
  readonly decimals: 0 | 1
  /** `at-once`: what asks for attention is posted ahead of everything else, whatever `readings` says. */
  readonly attention: 'at-once' | 'with-average'
  /** What each finding does to this clinic's averages; see `dispositionOf` for those it does not name. */
  readonly findings: FindingPolicy
  /** Threshold sets to label with, beside those of the protocol. */
  readonly thresholdSets: readonly string[]
  /** Protocol of a period that is opened without naming one. Never one from memory. */
  readonly protocol?: string
}

export type DestinationAccess =
  | { readonly kind: 'none' }
  | { readonly kind: 'bearer'; readonly token: string }
  | { readonly kind: 'basic'; readonly user: string; readonly password: string }
