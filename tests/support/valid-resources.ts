import type { Bundle, Observation, Provenance } from 'fhir/r4.js'

/** Resources without a single issue, fresh at each call, so that a test may spoil its own. All people are invented. */

const LOINC = 'http://loinc.org'
const UCUM = 'http://unitsofmeasure.org'
const DIV = '<div xmlns="http://www.w3.org/1999/xhtml"><p>Blood pressure at home</p></div>'

const vitalSigns = () => [
  { coding: [{ system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'vital-signs' }] },
]

const pressure = (code: string, value: number) => ({
  code: { coding: [{ system: LOINC, code }] },
  valueQuantity: { value, unit: 'mmHg', system: UCUM, code: 'mm[Hg]' },
})

export function validReading(): Observation {
  return {
    resourceType: 'Observation',
    id: 'reading-1',
    text: { status: 'generated', div: DIV },
    extension: [
      {
        url: 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition',
        valueCodeableConcept: { coding: [{ system: LOINC, code: 'LA11868-9', display: 'Sitting' }] },
      },
    ],
    identifier: [{ system: 'https://records.example/readings', value: 's-1/1' }],
    status: 'final',
    category: vitalSigns(),
    code: { coding: [{ system: LOINC, code: '85354-9' }] },
    subject: { reference: 'Patient/p-1' },
    effectiveDateTime: '2026-03-02T06:41:00-07:00',
    issued: '2026-03-02T06:45:00-07:00',
    performer: [{ reference: 'Patient/p-1' }],
    device: { reference: 'Device/d-1' },
    referenceRange: [{ high: { value: 135, unit: 'mmHg', system: UCUM, code: 'mm[Hg]' } }],
    component: [pressure('8480-6', 134), pressure('8462-4', 85)],
  }
}

export function validPulse(): Observation {
  return {
    resourceType: 'Observation',
    id: 'pulse-1',
    text: { status: 'generated', div: DIV },
    status: 'final',
    category: vitalSigns(),
    code: { coding: [{ system: LOINC, code: '8867-4' }] },
    subject: { reference: 'Patient/p-1' },
    effectiveDateTime: '2026-03-02T06:41:00-07:00',
    valueQuantity: { value: 72, unit: 'beats per minute', system: UCUM, code: '/min' },
  }
}

export function validAverage(): Observation {
  return {
    resourceType: 'Observation',
    id: 'average-1',
    text: { status: 'generated', div: DIV },
    status: 'final',
    category: vitalSigns(),
    code: { coding: [{ system: LOINC, code: '96607-7' }] },
    subject: { reference: 'Patient/p-1' },
    effectivePeriod: { start: '2026-03-02T06:41:00-07:00', end: '2026-03-08T21:10:00-07:00' },
    issued: '2026-03-09T06:45:00-07:00',
    performer: [{ reference: 'Patient/p-1' }],
    note: [{ text: 'Seven days, twice a day, first day left out.' }],
    derivedFrom: [{ reference: 'Observation/reading-1' }],
    component: [
      pressure('96608-5', 134.3),
      pressure('96609-3', 86.8),
      {
        code: { coding: [{ system: 'http://snomed.info/sct', code: '246432004' }] },
        valueQuantity: { value: 28, unit: '{#}', system: UCUM, code: '{#}' },
      },
    ],
  }
}

export const READING_URL = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000001'
export const PULSE_URL = 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000002'

export function validTransaction(): Bundle<Observation | Provenance> {
  return {
    resourceType: 'Bundle',
    type: 'transaction',
    entry: [
      {
        fullUrl: READING_URL,
        resource: {
          ...validReading(),
          subject: { reference: 'Patient?identifier=https://clinic.example/mrn|77' },
        },
        request: {
          method: 'POST',
          url: 'Observation',
          ifNoneExist: 'identifier=https://records.example|s-1/1',
        },
      },
      {
        fullUrl: PULSE_URL,
        resource: { ...validPulse(), derivedFrom: [{ reference: READING_URL }] },
        request: { method: 'POST', url: 'Observation' },
      },
      {
        fullUrl: 'urn:uuid:0b5c2d1e-71a4-5000-8000-000000000003',
        resource: {
          resourceType: 'Provenance',
          text: { status: 'generated', div: DIV },
          target: [{ reference: READING_URL }, { reference: PULSE_URL }],
          recorded: '2026-03-02T06:45:00-07:00',
          agent: [{ who: { display: 'The gateway' } }],
          entity: [{ role: 'source', what: { display: 'The session record' } }],
        },
        request: { method: 'POST', url: 'Provenance' },
      },
    ],
  }
}

export function validPatient() {
  return {
    resourceType: 'Patient',
    id: 'p-1',
    text: { status: 'generated', div: DIV },
    identifier: [{ system: 'https://clinic.example/mrn', value: '77' }],
    name: [{ family: 'Invented', given: ['Ada', 'B.'] }],
    telecom: [{ system: 'phone', value: '555-0100' }],
    birthDate: '1960-02-29',
    deceasedBoolean: false,
    multipleBirthInteger: 2,
    contact: [{ name: { text: 'A friend' } }],
    communication: [{ language: { coding: [{ system: 'urn:ietf:bcp:47', code: 'en' }] } }],
  }
}

export function validDevice() {
  return {
    resourceType: 'Device',
    id: 'd-1',
    text: { status: 'generated', div: DIV },
    deviceName: [{ name: 'Cuff One', type: 'model-name' }],
    version: [{ value: '1.2' }],
    manufactureDate: '2024-05-01',
  }
}

export function validAuditEvent() {
  return {
    resourceType: 'AuditEvent',
    id: 'a-1',
    text: { status: 'generated', div: DIV },
    type: { system: 'http://terminology.hl7.org/CodeSystem/audit-event-type', code: 'rest' },
    action: 'C',
    recorded: '2026-03-02T06:45:00Z',
    outcome: '0',
    agent: [{ requestor: true, who: { display: 'The source' } }],
    source: { observer: { display: 'The gateway' } },
    entity: [{ name: 'Observation', detail: [{ type: 'request', valueString: 'r-1' }] }],
  }
}

export function validOutcome() {
  return {
    resourceType: 'OperationOutcome',
    text: { status: 'generated', div: DIV },
    issue: [{ severity: 'information', code: 'informational', diagnostics: 'All is well.' }],
  }
}
