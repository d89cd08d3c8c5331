import type { OutboxEntry } from '../../core/outbox/entry.ts'
import type { Destination } from '../../core/registry/destination.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'

/**
 * Whether a destination may hold readings of an entry that it does not want any more, because nobody heard what became of
 * it. A message was sent only where one was tried: an entry that a process had claimed and died over may have had nothing
 * to say.
 */
export function mayHold(
  { kind }: Pick<Destination, 'kind'>,
  { uncertain, attempts }: Pick<OutboxEntry, 'uncertain' | 'attempts'>,
): boolean {
  return uncertain && (kind === 'fhir' || attempts > 0)
}

/** Such readings, in a delivery of which nothing is written: where they arrived, later changes of them are to be told. */
export function lookedFor(readings: RenderedDelivery): RenderedDelivery {
  const { text, patient, issued } = readings
  return {
    text,
    outline: readings.outline.filter(({ type }) => type === 'Observation'),
    patient,
    issued,
    lookedFor: true,
    get bundle() {
      return readings.bundle
    },
  }
}
