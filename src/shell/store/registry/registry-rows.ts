import type { Enrolment } from '../../../core/registry/enrolment.ts'
import type { Source } from '../../../core/registry/source.ts'
import type { ListedEnrolment, Page } from '../../../flow/ports/ports.ts'
import type { Database, Statement } from '../connection/database.ts'
import { type EnrolmentRow, linkOfRow } from './enrolment-row.ts'
import type { SourceNumbers } from './source-numbers.ts'

interface ListedRow extends EnrolmentRow {
  readonly also_linked: number
}

/** An enrolment, and how many others there are of the same patient of the same destination. */
const LISTED = `SELECT *, (SELECT count(*) - 1 FROM enrolment other WHERE other.destination = enrolment.destination
  AND other.patient_system = enrolment.patient_system AND other.patient_value = enrolment.patient_value) AS also_linked
  FROM enrolment`

/** Sources, and the links between their subjects and the clinic's patients. */
export class RegistryRows {
  readonly #sources: SourceNumbers
  readonly #saveSource: Statement<unknown>
  readonly #allSources: Statement<Source>
  readonly #saveEnrolment: Statement<unknown>
  readonly #enrolment: Statement<EnrolmentRow>
  readonly #ofPatient: Statement<EnrolmentRow>
  readonly #onceOf: Statement<EnrolmentRow>
  readonly #destination: Statement<{ destination: string }>
  readonly #page: Statement<ListedRow>
  readonly #pageOfSource: Statement<ListedRow>
  readonly #counts: Statement<{ sources: number; enrolments: number }>

  constructor(database: Database, sources: SourceNumbers) {
    this.#sources = sources
    this.#saveSource = database.prepare(
      'INSERT INTO source VALUES (?, ?) ON CONFLICT (source_no) DO UPDATE SET title = excluded.title',
    )
    this.#allSources = database.prepare(
      'SELECT name, title FROM source JOIN source_number USING (source_no) ORDER BY name',
    )
    this.#saveEnrolment = database.prepare('INSERT OR REPLACE INTO enrolment VALUES (?, ?, ?, ?, ?, ?, ?)')
    this.#enrolment = database.prepare('SELECT * FROM enrolment WHERE source_no = ? AND subject = ?')
    this.#ofPatient = database.prepare(
      `SELECT * FROM enrolment WHERE destination = ? AND patient_system = ? AND patient_value = ?
       ORDER BY source_no, subject`,
    )
    this.#onceOf = database.prepare(
      `SELECT enrolment.* FROM earlier_link AS earlier JOIN enrolment USING (source_no, subject)
       WHERE earlier.destination = ?1 AND earlier.patient_system = ?2 AND earlier.patient_value = ?3
         AND enrolment.destination <> ?1`,
    )
    this.#destination = database.prepare(
      'SELECT destination FROM enrolment WHERE source_no = ? AND subject = ?',
    )
    this.#page = database.prepare(
      `${LISTED} WHERE (source_no, subject) > (?, ?) ORDER BY source_no, subject LIMIT ?`,
    )
    this.#pageOfSource = database.prepare(
      `${LISTED} WHERE source_no = ? AND subject > ? ORDER BY subject LIMIT ?`,
    )
    this.#counts = database.prepare(
      'SELECT (SELECT count(*) FROM source) AS sources, (SELECT count(*) FROM enrolment) AS enrolments',
    )
  }

  saveSource({ name, title }: Source): void {
    this.#saveSource.run(this.#sources.assign(name), title)
  }

  sources(): Source[] {
    return this.#allSources.all().map(({ name, title }) => ({ name, title }))
  }

  /** Replaces the link of its source and subject, if there is one. */
  saveEnrolment(enrolment: Enrolment): void {
    const { source, subject, patient, zone, destination, armCircumferenceCm = null } = enrolment
    const sourceNo = this.#sources.assign(source)
    this.#saveEnrolment.run(
      sourceNo,
      subject,
      patient.system,
      patient.value,
      zone,
      destination,
      armCircumferenceCm,
    )
  }

  enrolments(source: string, subjects: readonly string[]): (Enrolment | undefined)[] {
    const sourceNo = this.#sources.find(source)
    return subjects.map((subject) => {
      const row = sourceNo === undefined ? undefined : this.#enrolment.get(sourceNo, subject)
      return row && this.#link(row)
    })
  }

  /** All that are linked to one patient of a destination, in the order of source number and subject. */
  ofPatient({ system, value }: Enrolment['patient'], destination: string): Enrolment[] {
    return this.#ofPatient.all(destination, system, value).map((row) => this.#link(row))
  }

  /** As they are now, that were linked to the patient of a destination before they were linked to another one. */
  onceOf({ system, value }: Enrolment['patient'], destination: string): Enrolment[] {
    return this.#onceOf.all(destination, system, value).map((row) => this.#link(row))
  }

  /** Name of the destination a subject's readings go to. */
  destinationOf(sourceNo: number, subject: string): string | undefined {
    return this.#destination.get(sourceNo, subject)?.destination
  }

  page({ after = '', limit, source }: Page & { readonly source?: string }): ListedEnrolment[] {
    const slash = after.indexOf('/')
    const afterSource = after.slice(0, Math.max(slash, 0))
    const afterSubject = after.slice(slash + 1)
    if (source !== undefined) return this.#ofSource(source, afterSource === source ? afterSubject : '', limit)
    const sourceNo = this.#sources.find(afterSource) ?? 0
    return this.#page.all(sourceNo, afterSubject, limit).map((row) => this.#listed(row))
  }

  #ofSource(source: string, afterSubject: string, limit: number): ListedEnrolment[] {
    const sourceNo = this.#sources.find(source)
    if (sourceNo === undefined) return []
    return this.#pageOfSource.all(sourceNo, afterSubject, limit).map((row) => this.#listed(row))
  }

  counts(): { readonly sources: number; readonly enrolments: number } {
    return this.#counts.get() ?? { sources: 0, enrolments: 0 }
  }

  #listed(row: ListedRow): ListedEnrolment {
    return { ...this.#link(row), ...(row.also_linked === 0 ? {} : { alsoLinked: row.also_linked }) }
  }

  #link(row: EnrolmentRow): Enrolment {
    return linkOfRow(row, this.#sources.nameOf(row.source_no))
  }
}
