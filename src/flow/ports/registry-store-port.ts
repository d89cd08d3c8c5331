import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { AccessKey, Source } from '../../core/registry/source.ts'
import type { ListedEnrolment } from './listed-enrolment.ts'
import type { Page } from './page.ts'
import type { WaitingSubject } from './waiting-subject.ts'

/** What saving a link set in motion. */
export interface LinkSaved {
  /** Sessions that arrived before it, and are queued. */
  readonly queued: number
  /** What its destination was given under another patient, and is queued to be brought over. */
  readonly moving: number
}

/**
 * The part of the store that says who sends, with which keys, and who is linked to which patient. What is promised of every
 * method is written at `Store`.
 */
export interface RegistryStore {
  saveSource(source: Source, audit: AuditEntry): Promise<void>
  sources(): Promise<readonly Source[]>
  saveAccessKey(key: AccessKey, audit: AuditEntry): Promise<void>
  /** The key of a digest, as it stands at this moment whoever changed it; undefined when it was revoked. */
  accessKey(sha256: string): Promise<AccessKey | undefined>
  /** All keys, revoked ones too, in the order in which they were made. */
  accessKeys(): Promise<readonly AccessKey[]>
  /** Revokes a key by its id, from the moment of the audit row on. False when there is none that is valid. */
  revokeAccessKey(id: string, audit: AuditEntry): Promise<boolean>

  /**
   * Saves the link, and queues the sessions that arrived before it when its destination wants readings at once.
   * Saving the same link again queues nothing twice. What this destination was not given because the patient was not
   * matched or nobody was enrolled is put back in the queue. What it may hold under another patient is queued to be
   * brought over to this one, and the audit row says how many that are.
   */
  saveEnrolment(enrolment: Enrolment, audit: AuditEntry): Promise<LinkSaved>
  /** One answer per subject, in order. */
  enrolments(source: string, subjects: readonly string[]): Promise<readonly (Enrolment | undefined)[]>
  /** How a subject's patient was known at a destination that it was linked to before the one it is linked to now. */
  earlierPatient(
    source: string,
    subject: string,
    destination: string,
  ): Promise<Enrolment['patient'] | undefined>
  /** All that link to one patient of a destination, compared exactly; of one source or of several. */
  enrolmentsOf(patient: Enrolment['patient'], destination: string): Promise<readonly Enrolment[]>
  /** Enrolments as they are now that are linked to another destination, and were to this patient of this one before. */
  onceEnrolledTo(patient: Enrolment['patient'], destination: string): Promise<readonly Enrolment[]>
  /** In the order in which their sources were registered, then of the subjects; only of one source where it is named. */
  enrolmentPage(page: Page & { readonly source?: string }): Promise<readonly ListedEnrolment[]>
  /**
   * Subjects of a source that sent sessions and are not enrolled, in the order of their names. Asks about each subject
   * that sent something, in steps between which other calls come in, until the page is full.
   */
  waitingSubjects(source: string, page: Page): Promise<readonly WaitingSubject[]>
}
