/** What a technique check may know beside the session. */
export interface TechniqueContext {
  /** Mid-upper-arm circumference from the enrolment; absent when it was not measured. */
  readonly armCircumferenceCm?: number
}
