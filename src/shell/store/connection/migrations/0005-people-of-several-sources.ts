/** Which subjects are linked to one patient of a destination. */
export const peopleOfSeveralSources = {
  number: 5,
  name: 'people-of-several-sources',
  sql: `
CREATE INDEX enrolment_patient ON enrolment (destination, patient_system, patient_value);
`,
}
