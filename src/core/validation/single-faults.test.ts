import { describe, expect, it } from 'vitest'
import { problems, spoilt } from '../../../tests/support/spoilt-resource.ts'
import {
  PULSE_URL,
  validAuditEvent,
  validAverage,
  validDevice,
  validOutcome,
  validPatient,
  validPulse,
  validReading,
  validTransaction,
} from '../../../tests/support/valid-resources.ts'

const UCUM = 'http://unitsofmeasure.org'
const coded = (code: string, system = 'http://loinc.org') => ({ coding: [{ system, code }] })

function claimingBloodPressure() {
  return { ...validReading(), meta: { profile: ['http://hl7.org/fhir/StructureDefinition/bp|4.0.1'] } }
}

type Case = [resource: () => unknown, path: string, value: unknown, ...expected: string[]]

const O = 'Observation'
const LONE_SYSTOLIC = [
  `PROFILE bp ${O}.code.coding`,
  `PROFILE bp ${O}.component`,
  `PROFILE bp ${O}.component`,
  `PROFILE bp ${O}.value`,
]

const CASES: readonly Case[] = [
  // structure, by the JSON schema
  [validReading, 'code', undefined, `STRUCTURE ${O}.code`],
  [validReading, 'status', 'done', `STRUCTURE ${O}.status`],
  [validReading, 'id', 'no spaces please', `STRUCTURE ${O}.id`],
  [validReading, 'effectiveDateTime', '2026-03-02T06:41-07:00', `STRUCTURE ${O}.effective`],
  [validReading, 'effectiveDateTime', '2026-03-02T06:41:00', `STRUCTURE ${O}.effective`],
  [validReading, 'effectiveDateTime', '2.3.2026', `STRUCTURE ${O}.effective`],
  [validReading, 'issued', '2026-03-02', `STRUCTURE ${O}.issued`],
  [validReading, 'performerr', [], `STRUCTURE ${O}.performerr`],
  [validReading, 'component.0.valueQuantity.value', '134', `STRUCTURE ${O}.component[0].value.value`],
  [validReading, 'component.0.valueQuantity.value', Number.NaN, `STRUCTURE ${O}.component[0].value.value`],
  [validReading, 'device', 'Device/d-1', `STRUCTURE ${O}.device`],
  [validReading, 'device', [{ reference: 'Device/d-1' }], `STRUCTURE ${O}.device`],
  [validReading, 'performer', { reference: 'Patient/p-1' }, `STRUCTURE ${O}.performer`],
  [validReading, 'performer', [], `STRUCTURE ${O}.performer`],
  [validReading, 'performer.0', null, `STRUCTURE ${O}.performer[0]`],
  [validReading, 'device', null, `STRUCTURE ${O}.device`],
  [validReading, 'text.div', null, `STRUCTURE ${O}.text.\`div\``],
  [validReading, 'identifier.0.system', '', `STRUCTURE ${O}.identifier[0].system`],
  [validReading, 'identifier.0.value', '', `STRUCTURE ${O}.identifier[0].value`],
  [validReading, 'identifier.0.system', 'a b', `STRUCTURE ${O}.identifier[0].system`],
  [validReading, 'subject.reference', 5, `STRUCTURE ${O}.subject.reference`],
  [validPatient, 'deceasedBoolean', 'false', 'STRUCTURE Patient.deceased'],
  [validPatient, 'multipleBirthInteger', 1.5, 'STRUCTURE Patient.multipleBirth'],
  [validPatient, 'multipleBirthInteger', 2 ** 31, 'STRUCTURE Patient.multipleBirth'],
  [validPatient, 'name.0.given', 'Ada', 'STRUCTURE Patient.name[0].given'],
  [validPatient, 'name.0.given', ['Ada', null], 'STRUCTURE Patient.name[0].given[1]'],
  [validPatient, 'birthDate', '1960-13-01', 'STRUCTURE Patient.birthDate'],
  [validOutcome, 'issue', undefined, 'STRUCTURE OperationOutcome.issue'],
  [validAuditEvent, 'source', undefined, 'STRUCTURE AuditEvent.source'],
  // structure, beyond the JSON schema
  [validReading, 'status', undefined, `STRUCTURE ${O}.status`],
  [validReading, 'effectiveDateTime', '2026-02-30', `STRUCTURE ${O}.effective`],
  [validReading, 'issued', '2026-04-31T06:41:00Z', `STRUCTURE ${O}.issued`],
  [validPatient, 'birthDate', '1961-02-29', 'STRUCTURE Patient.birthDate'],
  [validPulse, 'valueString', 'seventy-two', `STRUCTURE ${O}.value`],
  [validPulse, 'effectivePeriod', { start: '2026-03-02' }, `STRUCTURE ${O}.effective`],
  [validPatient, 'deceasedDateTime', '2026-03-02', 'STRUCTURE Patient.deceased'],
  [validDevice, 'deviceName.0.type', undefined, 'STRUCTURE Device.deviceName[0].type'],
  [validAverage, 'note.0.text', undefined, `STRUCTURE ${O}.note[0].text`, `INVARIANT ele-1 ${O}.note[0]`],
  [validReading, 'extension.0.url', undefined, `STRUCTURE ${O}.extension[0].url`],
  [
    validAuditEvent,
    'entity.0.detail.0.valueString',
    undefined,
    'STRUCTURE AuditEvent.entity[0].detail[0].value',
  ],
  // invariants
  [validReading, 'bodySite', {}, `INVARIANT ele-1 ${O}.bodySite`],
  [validReading, 'bodySite', { id: 'only' }, `INVARIANT ele-1 ${O}.bodySite`],
  [
    validReading,
    'extension.0.valueCodeableConcept',
    undefined,
    `INVARIANT ext-1 ${O}.extension[0]`,
    `PROFILE observation-bodyPosition ${O}.extension[0].value`,
  ],
  [
    validReading,
    'extension.0.extension',
    [{ url: 'u', valueCode: 'c' }],
    `INVARIANT ext-1 ${O}.extension[0]`,
    `PROFILE observation-bodyPosition ${O}.extension[0].extension`,
  ],
  [validReading, 'device.reference', '#d-1', `INVARIANT ref-1 ${O}.device`],
  [validReading, 'referenceRange.0', { type: { text: 'normal' } }, `INVARIANT obs-3 ${O}.referenceRange[0]`],
  [validReading, 'referenceRange.0.high.system', undefined, `INVARIANT qty-3 ${O}.referenceRange[0].high`],
  [validAverage, 'effectivePeriod.end', '2026-03-01', `INVARIANT per-1 ${O}.effective`],
  [validPulse, 'dataAbsentReason', { text: 'device fault' }, `INVARIANT obs-6 ${O}.dataAbsentReason`],
  [
    validPulse,
    'component',
    [{ code: coded('8867-4'), valueQuantity: { value: 70, unit: '/min', system: UCUM, code: '/min' } }],
    `INVARIANT obs-7 ${O}.value`,
  ],
  [validReading, 'contained', [{ resourceType: 'Device', id: 'd-9' }], `INVARIANT dom-3 ${O}.contained[0]`],
  [
    validReading,
    'text.div',
    '<div xmlns="http://www.w3.org/1999/xhtml"> </div>',
    `INVARIANT txt-2 ${O}.text.\`div\``,
  ],
  [
    validReading,
    'text.div',
    '<div xmlns="http://www.w3.org/1999/xhtml"><script>1</script></div>',
    `INVARIANT txt-1 ${O}.text.\`div\``,
  ],
  [validPatient, 'telecom.0.system', undefined, 'INVARIANT cpt-2 Patient.telecom[0]'],
  [validPatient, 'contact.0', { gender: 'other' }, 'INVARIANT pat-1 Patient.contact[0]'],
  [validPatient, 'photo', [{ data: 'AAAA' }], 'INVARIANT att-1 Patient.photo[0]'],
  [validAuditEvent, 'entity.0.query', 'AAAA', 'INVARIANT sev-1 AuditEvent.entity[0]'],
  [validTransaction, 'total', 3, 'INVARIANT bdl-1 Bundle.total'],
  [validTransaction, 'entry.1.search', { mode: 'match' }, 'INVARIANT bdl-2 Bundle.entry[1].search'],
  [validTransaction, 'entry.2.request', undefined, 'INVARIANT bdl-3 Bundle.entry[2].request'],
  [validTransaction, 'entry.2.response', { status: '201' }, 'INVARIANT bdl-4 Bundle.entry[2].response'],
  [validTransaction, 'entry.2.fullUrl', PULSE_URL, 'INVARIANT bdl-7 Bundle.entry[2].fullUrl'],
  [
    validTransaction,
    'entry.2.fullUrl',
    'https://a.example/Provenance/1/_history/2',
    'INVARIANT bdl-8 Bundle.entry[2].fullUrl',
  ],
  // profiles
  [validReading, 'category', undefined, `PROFILE vitalsigns ${O}.category`],
  [validReading, 'category.0.coding.0.code', 'laboratory', `PROFILE vitalsigns ${O}.category`],
  [
    validReading,
    'category.0.coding.1',
    { code: 'other' },
    `PROFILE vitalsigns ${O}.category[0].coding[1].code`,
    `PROFILE vitalsigns ${O}.category[0].coding[1].system`,
  ],
  [validReading, 'category.1', validReading().category?.[0], `PROFILE vitalsigns ${O}.category`],
  [validReading, 'subject', undefined, `PROFILE vitalsigns ${O}.subject`],
  [validReading, 'subject.reference', 'Group/1', `PROFILE vitalsigns ${O}.subject`],
  [validReading, 'effectiveDateTime', undefined, `PROFILE vitalsigns ${O}.effective`],
  [validReading, 'effectiveDateTime', '2026-03', `PROFILE vs-1 ${O}.effective`],
  [validReading, 'hasMember', [{ reference: 'Patient/p-1' }], `REFERENCE reference-target ${O}.hasMember[0]`],
  [
    validReading,
    'derivedFrom',
    [{ reference: 'Patient/p-1' }],
    `REFERENCE reference-target ${O}.derivedFrom[0]`,
  ],
  [
    validReading,
    'code.coding.1',
    { system: 'http://loinc.org', code: '85354-9' },
    `PROFILE bp ${O}.code.coding`,
  ],
  [validReading, 'code', coded('55284-4'), `PROFILE bp ${O}.code.coding`],
  [validReading, 'component.0', undefined, `PROFILE bp ${O}.component`],
  [validReading, 'component.1', undefined, `PROFILE bp ${O}.component`],
  [validReading, 'component.2', validReading().component?.[0], `PROFILE bp ${O}.component`],
  [validReading, 'component.1.valueQuantity', undefined, `PROFILE vs-3 ${O}.component[1]`],
  [validReading, 'component.1.valueQuantity.value', undefined, `PROFILE bp ${O}.component[1].value.value`],
  [validReading, 'component.1.valueQuantity.unit', undefined, `PROFILE bp ${O}.component[1].value.unit`],
  [validReading, 'component.1.valueQuantity.code', 'kPa', `PROFILE bp ${O}.component[1].value.code`],
  [
    validReading,
    'component.0.valueQuantity.system',
    'http://a.example',
    `PROFILE bp ${O}.component[0].value.system`,
  ],
  [
    validReading,
    'component.0',
    { code: coded('8480-6'), valueString: 'high' },
    `PROFILE bp ${O}.component[0].value`,
  ],
  [validReading, 'valueQuantity', { value: 1 }, `PROFILE bp ${O}.value`],
  [validPulse, 'code', coded('8480-6'), ...LONE_SYSTOLIC],
  [validPulse, 'valueQuantity', undefined, `PROFILE vs-2 ${O}`],
  [validPulse, 'valueQuantity.code', '{beats}/min', `PROFILE heartrate ${O}.value.code`],
  [validPulse, 'valueQuantity.unit', undefined, `PROFILE heartrate ${O}.value.unit`],
  [
    validPulse,
    'code.coding.1',
    { system: 'http://loinc.org', code: '8867-4' },
    `PROFILE heartrate ${O}.code.coding`,
  ],
  [validAverage, 'component.0', undefined, `PROFILE us-core-average-blood-pressure ${O}.component`],
  [validAverage, 'component.1', undefined, `PROFILE us-core-average-blood-pressure ${O}.component`],
  [validAverage, 'component.0.valueQuantity', undefined, `PROFILE us-core-26 ${O}.component[0]`],
  [validAverage, 'effectivePeriod', undefined, `PROFILE us-core-average-blood-pressure ${O}.effective`],
  [validAverage, 'valueInteger', 134, `PROFILE us-core-average-blood-pressure ${O}.value`],
  [validAverage, 'category', undefined, `PROFILE us-core-average-blood-pressure ${O}.category`],
  [validAverage, 'subject', undefined, `PROFILE us-core-average-blood-pressure ${O}.subject`],
  [claimingBloodPressure, 'code.coding.0.code', '8478-0', `PROFILE bp ${O}.code.coding`],
  // codes
  [validReading, 'bodySite', coded('85354-8'), `CODE loinc-check-digit ${O}.bodySite.coding[0].code`],
  [validReading, 'bodySite', coded('LA11868'), `CODE loinc-check-digit ${O}.bodySite.coding[0].code`],
  [
    validReading,
    'bodySite',
    coded('368209004', 'http://snomed.info/sct'),
    `CODE snomed-check-digit ${O}.bodySite.coding[0].code`,
  ],
  [
    validReading,
    'bodySite',
    coded('left arm', 'http://snomed.info/sct'),
    `CODE snomed-check-digit ${O}.bodySite.coding[0].code`,
  ],
  [validReading, 'referenceRange.0.high.code', 'mmHg', `CODE ucum-code ${O}.referenceRange[0].high.code`],
  [validAverage, 'component.2.valueQuantity.code', '#', `CODE ucum-code ${O}.component[2].value.code`],
  // references
  [
    validTransaction,
    'entry.0.request.method',
    undefined,
    'STRUCTURE Bundle.entry[0].request.method',
    'REFERENCE ifNoneExist Bundle.entry[0].request.ifNoneExist',
  ],
  [validTransaction, 'entry.1.request.url', undefined, 'STRUCTURE Bundle.entry[1].request.url'],
  [validTransaction, 'entry.1.request.url', '/Observation', 'REFERENCE request Bundle.entry[1].request.url'],
  [validTransaction, 'entry.1.request.url', 'Patient', 'REFERENCE request Bundle.entry[1].request.url'],
  [validTransaction, 'entry.1.request.method', 'PUT', 'REFERENCE request Bundle.entry[1].request.url'],
  [
    validTransaction,
    'entry.1.request',
    { method: 'PUT', url: 'Observation/another' },
    'REFERENCE request Bundle.entry[1].request.url',
  ],
  ...['Observation?', 'Observation?identifier', 'Patient?identifier=a|b'].map(
    (url): Case => [
      validTransaction,
      'entry.1.request',
      { method: 'PUT', url },
      'REFERENCE request Bundle.entry[1].request.url',
    ],
  ),
  [validTransaction, 'entry.2.resource', undefined, 'REFERENCE request Bundle.entry[2].resource'],
  [
    validTransaction,
    'entry.0.request.ifNoneExist',
    'https://a.example/Observation?identifier=a',
    'REFERENCE ifNoneExist Bundle.entry[0].request.ifNoneExist',
  ],
  [
    validTransaction,
    'entry.0.request.ifNoneExist',
    '?identifier=a',
    'REFERENCE ifNoneExist Bundle.entry[0].request.ifNoneExist',
  ],
  [
    validTransaction,
    'entry.2.resource.target.1.reference',
    'urn:uuid:0b5c2d1e-71a4-5000-8000-00000000000f',
    'REFERENCE reference Bundle.entry[2].resource.target[1]',
  ],
  [validTransaction, 'entry.2.fullUrl', 'urn:uuid:NOT-A-UUID', 'REFERENCE fullUrl Bundle.entry[2].fullUrl'],
  [validTransaction, 'entry.2.fullUrl', 'Provenance/1', 'REFERENCE fullUrl Bundle.entry[2].fullUrl'],
  [
    validTransaction,
    'entry.0.fullUrl',
    'https://a.example/Observation/other',
    'REFERENCE fullUrl Bundle.entry[0].fullUrl',
    'REFERENCE reference Bundle.entry[1].resource.derivedFrom[0]',
    'REFERENCE reference Bundle.entry[2].resource.target[0]',
  ],
  // resources within
  [
    validTransaction,
    'entry.1.resource.valueQuantity.value',
    'high',
    'STRUCTURE Bundle.entry[1].resource.value.value',
  ],
  [
    validTransaction,
    'entry.1.resource',
    { resourceType: 'Thermometer' },
    'NOT_SUPPORTED Bundle.entry[1].resource.resourceType',
  ],
  [
    validReading,
    'contained',
    [{ resourceType: 'Device', id: 'd-9', deviceName: [{ name: 'x' }], owner: { reference: '#' } }],
    `STRUCTURE ${O}.contained[0].deviceName[0].type`,
  ],
]

describe('one thing spoilt is reported with its rule and place', () => {
  it.each(
    CASES.map(([make, path, value, ...expected]) => {
      const change = value === undefined ? `without ${path}` : `with ${path} ${JSON.stringify(value)}`
      return { title: `${make.name} ${change}: ${expected.join(', ')}`, make, path, value, expected }
    }),
  )('$title', ({ make, path, value, expected }) => {
    expect(problems(spoilt(make(), path, value)).sort()).toEqual(expected.sort())
  })
})
