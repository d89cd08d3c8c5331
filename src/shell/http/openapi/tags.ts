/** The families of operations, in the order in which an integration meets them. */
export const TAGS = {
  sessions: 'Sessions of readings: send, correct, withdraw, read back',
  mappings: 'Records in other formats, read through mappings',
  sources: 'Sources and API keys',
  enrolments: 'Whose sessions go to which patient of which clinic',
  periods: 'Periods and their averages',
  deliveries: 'What is on its way to clinics, and how each clinic is served',
  audit: 'The trail of who did what',
  fhir: 'The FHIR R4 endpoint: validation, and our own definitions',
  service: 'Health, figures and descriptions',
} as const

export type Tag = keyof typeof TAGS
