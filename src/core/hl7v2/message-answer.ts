import type { ErrorCode } from '../basics/error-codes.ts'
import type { ClinicSaid } from '../outbox/entry.ts'

/** What came of a message, by the table of acknowledgements (HL7 table 0008). */
export type MessageAnswer =
  /** AA, or CA where that settles. */
  | { readonly kind: 'accepted' }
  /** AE, CE: it will not take this message. `PATIENT_UNKNOWN` where it says that it does not know the patient. */
  | { readonly kind: 'refused'; readonly problem: ErrorCode; readonly said: ClinicSaid }
  /** AR, CR: it takes no message of this kind, version or sender: the route stops. */
  | { readonly kind: 'stop'; readonly problem: ErrorCode; readonly said: ClinicSaid }
  /** The message never left. `untried`: not even a connection was tried, and `retryAfterMs` says when one may be. */
  | {
      readonly kind: 'unsent'
      readonly problem: ErrorCode
      readonly untried?: true
      readonly retryAfterMs?: number
    }
  /**
   * No acknowledgement in time, or the connection closed, whether nothing came or what cannot be understood
   * (`CLINIC_ANSWER_UNREADABLE`). The same message under the same control id is sent again.
   */
  | { readonly kind: 'unheard'; readonly problem: ErrorCode }
