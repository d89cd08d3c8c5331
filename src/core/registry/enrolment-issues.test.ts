import { describe, expect, it } from 'vitest'
import type { Enrolment } from './enrolment.ts'
import { enrolmentIssues } from './enrolment-issues.ts'

const LINK: Enrolment = {
  source: 'harbour-app',
  subject: 'HW-1001',
  patient: { system: 'https://clinic.example/mrn', value: 'LB-20433' },
  zone: 'Europe/London',
  destination: 'clinic',
}

function places(of: Partial<Enrolment>): readonly string[] {
  return enrolmentIssues({ ...LINK, ...of }).map(({ at }) => at)
}

describe('the names an enrolment links', () => {
  it.each([
    'https://clinic.example/mrn',
    'http://clinic.example',
    'https://clinic.example:8443/a/b?c=d#e',
    'https://[2001:db8::1]/mrn',
    'https://clinic.example/M%C3%BCnster',
    'urn:oid:1.2.36.146.595.217.0.1',
    'urn:uuid:53fefa32-fcbb-4ff8-8a92-55ee120877b7',
    'urn:ietf:rfc:3986',
    'tag:clinic.example,2026:mrn',
  ])('may have the system %s', (system) => {
    expect(places({ patient: { ...LINK.patient, system } })).toEqual([])
  })

  it.each([
    '',
    ' ',
    'lantern',
    'lantern bay <x>',
    '/mrn',
    '//clinic.example/mrn',
    'clinic.example/mrn',
    ' https://clinic.example/mrn',
    'https://clinic.example/mrn\n',
    'https://clinic.example/m r n',
    'https://clinic.example/<mrn>',
    'https://clinic.example/%zz',
    'https://clinic.example/münster',
    'https:/clinic.example',
    'https:clinic.example',
    'https://',
    'https:///mrn',
    'urn:',
    'urn:oid:',
    'urn:1.2.36',
    'mrn:',
    '1mrn:x',
    'C:\\mrn',
    `https://clinic.example/${'x'.repeat(500)}`,
  ])('may not have the system %j', (system) => {
    expect(places({ patient: { ...LINK.patient, system } })).toEqual(['patient.system'])
  })

  it.each(['1', 'LB 1', 'Ä-7', 'x'.repeat(200), '00'])('may have the identifier %s', (value) => {
    expect(places({ patient: { ...LINK.patient, value } })).toEqual([])
  })

  it.each([
    '',
    ' ',
    'LB 1 ',
    ' LB 1',
    '\u0000x',
    'a\nb',
    'a\u2028b',
    '\ufeffLB',
    'LB\u200b',
    '\ud800',
    '\u00a0x',
    'x'.repeat(201),
  ])('may not have the identifier %j', (value) => {
    expect(places({ patient: { ...LINK.patient, value } })).toEqual(['patient.value'])
  })

  it('must have a subject that a session can name', () => {
    for (const subject of ['', ' HW-1', 'HW\u0007', 'x'.repeat(201)])
      expect(places({ subject })).toEqual(['subject'])
  })

  it('are told all at once, and not repeated', () => {
    const issues = enrolmentIssues({ ...LINK, subject: ' Q7', patient: { system: 'Q8', value: 'Q9 ' } })
    expect(issues.map(({ at }) => at)).toEqual(['subject', 'patient.system', 'patient.value'])
    expect(JSON.stringify(issues)).not.toMatch(/Q[789]/)
  })
})
