import type { Enrolment } from '../../../core/registry/enrolment.ts'

export interface EnrolmentRow {
  readonly source_no: number
  readonly subject: string
  readonly patient_system: string
  readonly patient_value: string
  readonly zone: string
  readonly destination: string
  readonly arm_circumference_cm: number | null
}

/** The link that a row holds, of a source of this name. */
export function linkOfRow(row: EnrolmentRow, source: string): Enrolment {
  return {
    source,
    subject: row.subject,
    patient: { system: row.patient_system, value: row.patient_value },
    zone: row.zone,
    destination: row.destination,
    ...(row.arm_circumference_cm === null ? {} : { armCircumferenceCm: row.arm_circumference_cm }),
  }
}
