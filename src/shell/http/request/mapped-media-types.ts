import type { Mapping } from '../../../core/mapping/mapping.ts'

/** Media types of which each line is a record. */
export const STREAMS: readonly string[] = [
  'application/x-ndjson',
  'application/ndjson',
  'application/fhir+ndjson',
]

/**
 * Media types of what a mapping reads, by its format. HL7 v2 has none that is registered, as far as remembered:
 * `application/hl7-v2` is common practice.
 */
export const MEDIA_TYPES: Readonly<Record<Mapping['input']['format'], readonly string[]>> = {
  json: ['application/json', 'application/x-ndjson', 'application/ndjson'],
  bluetooth: ['application/json', 'application/x-ndjson', 'application/ndjson'],
  fhir: ['application/fhir+json', 'application/json', ...STREAMS],
  csv: ['text/csv'],
  hl7v2: ['application/hl7-v2', 'text/plain'],
}
