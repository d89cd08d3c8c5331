import type { Bundle } from 'fhir/r4.js'
import type { OutlinedEntry } from '../../core/exchange/asked/bundle-outline.ts'

/** What an outbox entry has to say now, validated and adorned for its destination. */
export interface RenderedDelivery {
  /** A transaction of conditional creates and updates, the patient by conditional reference. */
  readonly bundle: Bundle
  /** The same as JSON text, as it is posted in a transaction. */
  readonly text: string
  /** Its entries in their order: enough where it is posted as it stands. */
  readonly outline: readonly OutlinedEntry[]
  /** The clinic's identifier of the patient. */
  readonly patient: { readonly system: string; readonly value: string }
  /** When what it tells was issued or received, RFC 3339 text. */
  readonly issued: string
  /** Nothing of it is to be written: it is looked for, because it may be there. What is to be said shows after that. */
  readonly lookedFor?: true
}
