import type { Reference } from 'fhir/r4.js'
import type { Reading, Session } from '../clinical/session.ts'
import type { AverageContext } from './average-context.ts'
import { readingReference } from './conversion-context.ts'
import { readingUuid, sessionUuid } from './identifiers.ts'

/** A reading of an average, wherever it counts or is left out. */
interface PlacedSource {
  readonly session: Session
  readonly reading: Reading
  /** Absent: it came through the source of the context. */
  readonly source?: string
}

/** A reference to a reading that an average was made of, by the source it came through. */
export function placedReadingReference(
  { session, reading, source }: PlacedSource,
  context: Pick<AverageContext, 'canonicalBase' | 'source' | 'withIds' | 'readingsStay'>,
): Reference {
  const sitting = sessionUuid(source ?? context.source, session.id)
  return readingReference(readingUuid(sitting, reading.ordinal), context)
}
