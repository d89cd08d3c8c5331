/** What of people's data a report holds, told at its top. */
export const REPORT_NOTICE =
  'No name, identifier, date of birth or note of any person is repeated here. Measured figures appear in one place only: where an average differs from what its readings give, or its own words from its values. File names are shown as they were given.'

/** What stands on every report. */
export const REPORT_CAUTIONS: readonly string[] = [
  'Valid says that a resource is well formed, not that a measurement is true or a person well.',
  'An average that agrees follows from the readings beside it; whether they were taken well is another question.',
  'This is not a diagnosis, and nobody watches it for emergencies. Local practice and licensed clinicians decide what follows from it.',
]
