import { type Enrolment, isOnePatient } from '../../core/registry/enrolment.ts'

/**
 * A reference to the patient by the clinic’s own identifier, which a server resolves, in a transaction, to exactly one
 * patient or refuses. Source: FHIR R4 4.0.1 http.html, conditional references.
 */
export function patientCondition({ system, value }: Enrolment['patient']): string {
  return `Patient?identifier=${encodeURIComponent(system)}|${encodeURIComponent(value)}`
}

/**
 * The patient that a bundle of ours is about, by the first such reference in it; undefined where there is none.
 *
 * @param text a bundle as it was issued, JSON text.
 */
export function patientInBundle(text: string): Enrolment['patient'] | undefined {
  const [, system, value] = /"Patient\?identifier=([^"|]+)\|([^"]+)"/.exec(text) ?? []
  if (system === undefined || value === undefined) return undefined
  return { system: decodeURIComponent(system), value: decodeURIComponent(value) }
}

/** The same bundle about another patient, JSON text. Nothing else in it is written as such a reference is. */
export function withPatient(
  text: string,
  before: Enrolment['patient'],
  patient: Enrolment['patient'],
): string {
  return isOnePatient(before, patient)
    ? text
    : text.replaceAll(JSON.stringify(patientCondition(before)), () =>
        JSON.stringify(patientCondition(patient)),
      )
}
