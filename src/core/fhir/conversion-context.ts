import type { Reference } from 'fhir/r4.js'
import type { Destination } from '../registry/destination.ts'
import { ownUrls } from './own-urls.ts'

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
  /** Readings are not sent along: who derives from them names them by their identifiers alone. */
  readonly readingsStay?: boolean
}

/**
 * A reference to a reading of ours, in the form the context asks for. A logical one, where readings stay here, says the
 * same without leading anywhere. Source: FHIR R4 4.0.1 references.html, logical references.
 */
export function readingReference(
  uuid: string,
  {
    withIds,
    readingsStay,
    canonicalBase,
  }: Pick<ConversionContext, 'withIds' | 'readingsStay' | 'canonicalBase'>,
): Reference {
  if (readingsStay === true) {
    const { reading } = ownUrls(canonicalBase).identifier
    return { type: 'Observation', identifier: { system: reading, value: uuid } }
  }
  return { reference: withIds === true ? `Observation/${uuid}` : `urn:uuid:${uuid}` }
}
