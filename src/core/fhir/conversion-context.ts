import type { Reference } from 'fhir/r4.js'
import type { Destination } from '../registry/destination.ts'

/** What a conversion needs to know beside the session itself. */
export interface ConversionContext {
  /** Name of the registered source. */
  readonly source: string
  /** UUIDv5 of source and session id, see `identifiers.ts`. */
  readonly sessionUuid: string
  /** Base of our canonicals and identifier systems, without a trailing slash. */
  readonly canonicalBase: string
  /** The patient; also the performer, who measured at home. */
  readonly subject: Reference
  readonly positionAs: Destination['positionAs']
  readonly snomed: boolean
  /** The monitor. */
  readonly device?: Reference
  /** When the gateway received the record, RFC 3339: written as `issued`. */
  readonly receivedAt?: string
  /**
   * Resources that stand alone carry `id` and refer to each other as `Observation/<id>`. Without it, as in a
   * transaction where the server gives ids, they carry none and refer by `urn:uuid:`.
   */
  readonly withIds?: boolean
}

/** A reference to another Observation of ours, in the form the context asks for. */
export function observationReference(
  uuid: string,
  { withIds }: Pick<ConversionContext, 'withIds'>,
): Reference {
  return { reference: withIds === true ? `Observation/${uuid}` : `urn:uuid:${uuid}` }
}
