/** Whom a source means by an id of its own. */
export type Subject = Pick<Enrolment, 'source' | 'subject'>

/** The link between a source's subject and a clinic's patient, and how that patient is followed. */
export interface Enrolment {
  readonly source: string
  readonly subject: string
  /** The clinic's own identifier for the patient. The gateway never makes one up. */
  readonly patient: { readonly system: string; readonly value: string }
  /** IANA zone the patient lives in; decides local days. */
  readonly zone: string
  /** Name of the destination in the settings. */
  readonly destination: string
  /** Mid-upper-arm circumference in centimetres, when measured: lets cuff size be checked. */
  readonly armCircumferenceCm?: number
}

/** Whether two identifiers of a clinic name one patient: they are compared exactly. */
export function isOnePatient(one: Enrolment['patient'], other: Enrolment['patient']): boolean {
  return one.system === other.system && one.value === other.value
}
