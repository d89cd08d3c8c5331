import type { Enrolment } from '../../core/registry/enrolment.ts'

/** An enrolment in a list of them. */
export interface ListedEnrolment extends Enrolment {
  /** How many other subjects are linked to the same patient of its destination; absent when there is none. */
  readonly alsoLinked?: number
}
