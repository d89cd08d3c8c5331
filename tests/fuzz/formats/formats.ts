import { BLUETOOTH } from './bluetooth.ts'
import { ROW_PER_READING, THREE_PAIRS } from './diaries.ts'
import { FHIR_R4 } from './fhir-r4.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { HL7V2_RESULTS } from './hl7v2-results.ts'
import { OPEN_MHEALTH } from './open-mhealth.ts'
import { SESSION_RECORDS } from './session-records.ts'

/** Every format that is taken. */
export const FORMATS: readonly [FuzzFormat, ...FuzzFormat[]] = [
  SESSION_RECORDS,
  OPEN_MHEALTH,
  BLUETOOTH,
  FHIR_R4,
  HL7V2_RESULTS,
  ROW_PER_READING,
  THREE_PAIRS,
]
