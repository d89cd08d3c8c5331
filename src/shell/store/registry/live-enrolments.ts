import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Statement } from '../connection/database.ts'
import type { ReadOnlyFile } from '../connection/read-only-file.ts'
import { type EnrolmentRow, linkOfRow } from './enrolment-row.ts'

/**
 * Enrolments as they are in the file now. None is remembered: another process may link a subject to another patient, and
 * nothing may be brought to the one before from then on.
 */
export class LiveEnrolments {
  readonly #file: ReadOnlyFile
  readonly #enrolment: Statement<EnrolmentRow>

  constructor(file: ReadOnlyFile) {
    this.#file = file
    this.#enrolment = file.prepare(
      `SELECT enrolment.* FROM source_number JOIN enrolment USING (source_no)
       WHERE source_number.name = ? AND enrolment.subject = ?`,
    )
  }

  /** All as they are at one moment. */
  find(source: string, subjects: readonly string[]): readonly (Enrolment | undefined)[] {
    return this.#file.read(() =>
      subjects.map((subject) => {
        const row = this.#enrolment.get(source, subject)
        return row && linkOfRow(row, source)
      }),
    )
  }
}
