/** Someone the clinic already knows. Identity is the clinic's: the gateway finds these people, and never makes one. */
export interface RegisteredPatient {
  readonly identifier: { readonly system: string; readonly value: string }
  readonly name: { readonly given: string; readonly family: string }
}

/** The R4 Patient the clinic holds of a registered person. */
export function patientResource(patient: RegisteredPatient) {
  const { identifier, name } = patient
  return {
    resourceType: 'Patient' as const,
    active: true,
    identifier: [{ system: identifier.system, value: identifier.value }],
    name: [{ given: [name.given], family: name.family }],
  }
}
