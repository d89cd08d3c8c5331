import type { UseExample } from './use-example.ts'

const JSON_TYPE = 'application/json'
const ENROLMENT = {
  patient: { system: 'https://lantern-bay.example/patient-number', value: 'LB-20433' },
  zone: 'Europe/London',
  destination: 'lantern-bay',
}

/** Sources, keys and enrolments. */
export const REGISTRY_EXAMPLES: Readonly<Record<string, readonly UseExample[]>> = {
  listSources: [{ name: 'all', summary: 'All of them' }],
  registerSource: [
    {
      name: 'new',
      summary: 'A home app',
      body: { type: JSON_TYPE, value: { name: 'harbour-app', title: 'Harbour home app' } },
    },
    {
      name: 'renamed',
      summary: 'Another title',
      body: { type: JSON_TYPE, value: { name: 'harbour-app', title: 'Harbour app' } },
    },
  ],
  readSource: [{ name: 'one', summary: 'What of it waits', parameters: { name: 'harbour-app' } }],
  listWaiting: [{ name: 'first', summary: 'The first page', parameters: { name: 'harbour-app', limit: 20 } }],
  issueSourceKey: [
    { name: 'submit', summary: 'For the app', parameters: { name: 'harbour-app' } },
    {
      name: 'labelled',
      summary: 'One that lists tell from the others',
      parameters: { name: 'harbour-app' },
      body: { type: JSON_TYPE, value: { label: 'new phone' } },
    },
  ],
  issueKey: [
    {
      name: 'read',
      summary: 'For a dashboard',
      body: { type: JSON_TYPE, value: { role: 'read', label: 'dashboard' } },
    },
  ],
  listKeys: [{ name: 'all', summary: 'All of them' }],
  revokeKey: [
    { name: 'one', summary: 'One that was lost', parameters: { id: '3fa94c0d2b1e' } },
    { name: 'unknown', refused: true, summary: 'No such key', parameters: { id: '000000000000' } },
  ],
  listEnrolments: [
    { name: 'source', summary: 'Those of one source', parameters: { source: 'harbour-app', limit: 20 } },
  ],
  readEnrolment: [
    { name: 'one', summary: 'A link', parameters: { source: 'harbour-app', subject: 'HW-1002' } },
    {
      name: 'unknown',
      refused: true,
      summary: 'Nobody enrolled it',
      parameters: { source: 'harbour-app', subject: 'HW-1009' },
    },
  ],
  saveEnrolment: [
    {
      name: 'new',
      summary: 'A subject whose first session has come already',
      parameters: { source: 'harbour-app', subject: 'HW-1002' },
      body: { type: JSON_TYPE, value: ENROLMENT },
    },
    {
      name: 'arm',
      summary: 'The same, with the arm measured',
      parameters: { source: 'harbour-app', subject: 'HW-1002' },
      body: { type: JSON_TYPE, value: { ...ENROLMENT, armCircumferenceCm: 30 } },
    },
    {
      name: 'nowhere',
      refused: true,
      summary: 'A clinic that is not in the settings',
      parameters: { source: 'harbour-app', subject: 'HW-1002' },
      body: { type: JSON_TYPE, value: { ...ENROLMENT, destination: 'nowhere' } },
    },
  ],
}
