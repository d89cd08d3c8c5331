import type { Bundle } from 'fhir/r4.js'
import type { PatientIdentifier } from '../exchange/patient-search.ts'
import type { MessageDestination } from '../registry/destination.ts'

export interface OruContext {
  readonly destination: MessageDestination
  readonly patient: PatientIdentifier
  /** MSH-10: the same whenever the same thing is sent again; receivers tell repetitions by it. At most 20 characters. */
  readonly controlId: string
  /** MSH-7: when the thing was issued, not when it is sent, so that the same thing is the same message. RFC 3339 text. */
  readonly messageTime: string
}

/**
 * The Observations of a rendered bundle as one ORU^R01 message, segments ended by CR, not yet framed. Readings, averages
 * and calls for attention alike: a panel becomes an OBR with its components as OBX, a single value an OBR with one OBX,
 * notes NTE. Devices stand in OBX-18; Provenance has no place in it and is left out.
 * Source: HL7 v2.5.1 chapter 7 (ORU, OBR, OBX), table 0085 (OBX-11).
 */
export function oruMessage(_bundle: Bundle, _context: OruContext): string {
  throw new Error('to be written')
}
