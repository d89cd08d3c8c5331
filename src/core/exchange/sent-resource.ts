import type { Bundle, Device, Observation, Provenance } from 'fhir/r4.js'
import type { SentType } from './abilities.ts'

/** One resource of a rendered bundle, taken apart so that it can be brought to a server on any rung. */
export interface SentResource {
  /** Our UUID: in the fullUrl, and in the identifier or tag. */
  readonly uuid: string
  readonly type: SentType
  readonly resource: Observation | Device | Provenance
  /** How it is found: `identifier` for Observation and Device, `_tag` for Provenance, which has no identifier in R4. */
  readonly key: SearchKey
  /** `create`: leave what the server holds. `update`: bring it up to date. */
  readonly intent: 'create' | 'update'
  /** UUIDs of the bundle's other resources that it refers to. */
  readonly refersTo: readonly string[]
}

export interface SearchKey {
  readonly parameter: 'identifier' | '_tag'
  readonly system: string
  readonly value: string
}

/**
 * The resources of a transaction bundle of ours, what is referred to before what refers to it, otherwise as they stand.
 *
 * @throws TypeError when it is no bundle that `core/fhir` makes.
 */
export function sentResources(_bundle: Bundle): readonly SentResource[] {
  throw new Error('to be written')
}
