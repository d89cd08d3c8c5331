import type { Observation } from 'fhir/r4.js'

/** How far a result has come: OBR-25 and OBX-11. */
export interface ResultStatus {
  /** HL7 table 0123. */
  readonly report: 'F' | 'C'
  /** HL7 table 0085. */
  readonly result: 'F' | 'C' | 'D' | 'W'
}

/**
 * `amended` is C in both: it replaces what was sent under the same filler number. `entered-in-error` is D, which deletes
 * the OBX, under an OBR that is C: the report stays and its results are corrected. X in OBR-25 would say that there never
 * was a result. W in OBX-11 says that it was another patient's: so it is taken back from one it was reported of by mistake.
 * Sources: HL7 tables 0085 and 0123; HL7 Version 2 to FHIR 1.0.0, table 0085 to observation-status (C corrected, D
 * entered-in-error). C over deleted results is common practice.
 *
 * @param isOfOther whether it is another patient’s than the one it was reported of, and is now.
 * @throws TypeError for a status that no resource of ours has.
 */
export function resultStatus(status: Observation['status'], isOfOther = false): ResultStatus {
  if (isOfOther) return { report: 'C', result: 'W' }
  switch (status) {
    case 'final':
      return { report: 'F', result: 'F' }
    case 'amended':
    case 'corrected':
      return { report: 'C', result: 'C' }
    case 'entered-in-error':
      return { report: 'C', result: 'D' }
    default:
      throw new TypeError('only an Observation that is final, amended or entered in error can be reported')
  }
}
