import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Database, Statement } from '../connection/database.ts'

/** The links of subjects to the patients of destinations that they were linked to before the one they are linked to now. */
export class EarlierLinks {
  readonly #keep: Statement<unknown>
  readonly #patient: Statement<Enrolment['patient']>

  constructor(database: Database) {
    this.#keep = database.prepare(
      `INSERT INTO earlier_link SELECT source_no, subject, destination, patient_system, patient_value
       FROM enrolment WHERE source_no = ? AND subject = ? AND destination <> ?
       ON CONFLICT DO UPDATE SET patient_system = excluded.patient_system, patient_value = excluded.patient_value`,
    )
    this.#patient = database.prepare(
      `SELECT patient_system AS system, patient_value AS value FROM earlier_link
       WHERE source_no = ? AND subject = ? AND destination = ?`,
    )
  }

  /** To be called before a subject is linked to a destination: another one it was linked to is remembered. */
  keepBefore(sourceNo: number, { subject, destination }: Enrolment): void {
    this.#keep.run(sourceNo, subject, destination)
  }

  patient(sourceNo: number, subject: string, destination: string): Enrolment['patient'] | undefined {
    const { system, value } = this.#patient.get(sourceNo, subject, destination) ?? {}
    return system === undefined || value === undefined ? undefined : { system, value }
  }
}
