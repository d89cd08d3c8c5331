import { describe, expect, it } from 'vitest'
import { spoilt } from '../../../../tests/support/spoilt-resource.ts'
import {
  validAuditEvent,
  validPatient,
  validReading,
  validTransaction,
} from '../../../../tests/support/valid-resources.ts'
import { validateResource } from '../validate-resource.ts'

const CATEGORY = 'http://terminology.hl7.org/CodeSystem/observation-category'
const INTERPRETATION = 'http://terminology.hl7.org/CodeSystem/v3-ObservationInterpretation'
const SNOMED = 'http://snomed.info/sct'

/** The issues of codes, as `severity rule place`. */
function codeIssues(resource: unknown): readonly string[] {
  return validateResource(resource)
    .filter(({ code }) => code === 'CODE')
    .map(({ severity, rule, at }) => `${severity} ${rule} ${at}`)
}

/** What is said of one coding, as the body site of a reading: an element bound by example. */
function said(coding: object, language?: string): readonly string[] {
  const reading = spoilt(validReading(), 'bodySite', { coding: [coding] })
  return codeIssues({ ...Object(reading), ...(language === undefined ? {} : { language }) }).map((line) =>
    line.replace('Observation.bodySite.coding[0]', 'it'),
  )
}

describe('the system of a coding', () => {
  it.each([
    'https://loinc.org',
    'http://loinc.org/',
    'http://www.loinc.org',
    'urn:oid:2.16.840.1.113883.6.1',
    'http://snomed.info/sct/',
    'http://snomed.info/sct/900000000000207008',
    'urn:oid:2.16.840.1.113883.6.96',
    'http://hl7.org/fhir/observation-category',
    'https://terminology.hl7.org/CodeSystem/observation-category',
    'http://terminology.hl7.org/CodeSystem/observation-category/',
    'http://hl7.org/fhir/v3/ObservationInterpretation',
    'http://hl7.org/fhir/v2/0203',
  ])('is warned of when R4 spells it otherwise: %s', (system) => {
    expect(said({ system, code: '1' })).toEqual(['warning code-system-uri it.system'])
  })

  it.each([
    'http://hl7.org/fhir/sid/icd-10',
    'https://clinic.example/codes',
    'urn:oid:1.2.3',
    'urn:iso:std:iso:11073:10101',
    'http://terminology.hl7.org/CodeSystem/v3-RoleCode',
    'urn:uuid:0b5c2d1e-71a4-5000-8000-00000000000f',
  ])('is right, or not known to be wrong: %s', (system) => {
    expect(said({ system, code: 'SEAT' })).toEqual([])
  })

  it('is missed beside a code, but not beside a name alone or when it is withheld', () => {
    expect(said({ code: 'seat' })).toEqual(['warning coding-system it.system'])
    expect(said({ display: 'Seat' })).toEqual([])
    const why = { extension: [{ url: 'http://a.example/why', valueCode: 'masked' }] }
    expect(said({ _system: why, code: 'seat' })).toEqual([])
  })

  it('is UCUM by one URI only', () => {
    const reading = spoilt(validReading(), 'referenceRange.0.high.system', 'http://unitsofmeasure.org/')
    expect(codeIssues(reading)).toEqual(['warning code-system-uri Observation.referenceRange[0].high.system'])
  })

  it.each([
    'http://hl7.org/fhir/ValueSet/observation-category',
    'http://terminology.hl7.org/ValueSet/v3-ActCode',
  ])('is no value set: %s', (system) => {
    expect(said({ system, code: '1' })).toEqual(['error code-system-uri it.system'])
  })

  it.each(['local', 'LOINC', '2.16.840.1.113883.6.1', 'urn:oid:1.x', 'urn:uuid:1'])(
    'is one error when it is relative, or no OID or UUID: %s',
    (system) => {
      expect(said({ system, code: 'seat' })).toEqual(['error coding-system it.system'])
      expect(said({ system })).toEqual(['error coding-system it.system'])
    },
  )

  it('is left to the form of a URI when it has spaces', () => {
    expect(said({ system: 'SNOMED CT', code: 'seat' })).not.toContain('error coding-system it.system')
  })
})

describe('a code', () => {
  it.each([
    [{ system: CATEGORY, code: 'vital-sign' }, 'error code-unknown it.code'],
    [{ system: CATEGORY, code: 'Vital-Signs' }, 'error code-unknown it.code'],
    [{ system: 'http://hl7.org/fhir/restful-interaction', code: 'post' }, 'error code-unknown it.code'],
    [{ system: INTERPRETATION, code: 'h' }, 'error code-unknown it.code'],
    [{ system: INTERPRETATION, version: '3.0.0', code: 'h' }, 'warning code-unknown it.code'],
    [
      { system: 'http://terminology.hl7.org/CodeSystem/v3-MaritalStatus', code: 'C' },
      'warning code-unknown it.code',
    ],
    [
      { system: 'http://terminology.hl7.org/CodeSystem/provenance-participant-type', code: 'transmitter' },
      'warning code-unknown it.code',
    ],
    [{ system: SNOMED, code: '406508013' }, 'error snomed-concept it.code'],
    [{ system: 'http://unitsofmeasure.org', code: 'mmHg' }, 'error ucum-code it.code'],
  ])('that its code system does not have: %j', (coding, issue) => {
    expect(said(coding)).toEqual([issue])
  })

  it('is right where the code system has it', () => {
    expect(said({ system: CATEGORY, code: 'vital-signs' })).toEqual([])
    expect(said({ system: INTERPRETATION, code: 'HH' })).toEqual([])
    expect(said({ system: SNOMED, code: '368209003' })).toEqual([])
    expect(said({ system: SNOMED, code: '368209003 |Right upper arm|' })).toEqual([])
  })
})

describe('a display', () => {
  it.each([
    [{ system: 'http://loinc.org', code: '8480-6', display: 'Diastolic blood pressure' }],
    [{ system: SNOMED, code: '33586001', display: 'Standing' }],
    [{ system: CATEGORY, code: 'vital-signs', display: 'Laboratory' }],
  ])('is warned of when it names something else: %j', (coding) => {
    expect(said(coding)).toEqual(['warning display it.display'])
  })

  it.each([
    [{ system: 'http://loinc.org', code: '8480-6', display: 'SYSTOLIC  blood pressure ' }],
    [{ system: 'http://loinc.org', code: '8480-6', display: 'BP sys' }],
    [{ system: SNOMED, code: '33586001', display: 'Sitting position (finding)' }],
    [{ system: CATEGORY, code: 'vital-signs', display: 'vital signs' }],
    [{ system: 'http://loinc.org', code: '3141-9', display: 'whatever' }],
  ])('may be any name of the code, in any case; of unknown codes nothing is known: %j', (coding) => {
    expect(said(coding)).toEqual([])
  })

  it('is not compared in a resource of another language', () => {
    const coding = { system: 'http://loinc.org', code: '8480-6', display: 'Systolischer Blutdruck' }
    expect(said(coding, 'de')).toEqual([])
    expect(said(coding, 'en-GB')).toEqual(['warning display it.display'])
  })
})

describe('an element bound extensibly', () => {
  const local = { coding: [{ system: 'https://clinic.example/codes', code: 'raised' }] }

  it('is warned of, item by item, when no coding is from its value set', () => {
    const known = { coding: [{ system: INTERPRETATION, code: 'H' }] }
    const reading = spoilt(validReading(), 'interpretation', [known, local])
    expect(codeIssues(reading)).toEqual(['warning extensible-binding Observation.interpretation[1]'])
  })

  it('is warned of where it is one Coding, in a part of a resource, and in a bundle', () => {
    const event = spoilt(validAuditEvent(), 'type', { system: 'https://clinic.example/codes', code: 'x' })
    expect(codeIssues(event)).toEqual(['warning extensible-binding AuditEvent.type'])
    const reading = spoilt(validReading(), 'component.1', {
      code: { coding: [{ system: 'http://loinc.org', code: '8462-4' }] },
      dataAbsentReason: local,
    })
    expect(codeIssues(reading)).toEqual([
      'warning extensible-binding Observation.component[1].dataAbsentReason',
    ])
    const sent = spoilt(validTransaction(), 'entry.2.resource.agent.0.type', local)
    expect(codeIssues(sent)).toEqual(['warning extensible-binding Bundle.entry[2].resource.agent[0].type'])
  })

  it('is right with a coding from the set beside another, with text alone, and when it cannot be judged', () => {
    const beside = { coding: [...local.coding, { system: INTERPRETATION, code: 'H' }] }
    expect(codeIssues(spoilt(validReading(), 'interpretation', [beside]))).toEqual([])
    expect(codeIssues(spoilt(validReading(), 'interpretation', [{ text: 'raised' }]))).toEqual([])
    expect(codeIssues(spoilt(validPatient(), 'maritalStatus', { text: 'widowed' }))).toEqual([])
  })

  it('covers identifiers and security labels', () => {
    expect(codeIssues(spoilt(validPatient(), 'identifier.0.type', local))).toEqual([
      'warning extensible-binding Patient.identifier[0].type',
    ])
    expect(codeIssues(spoilt(validPatient(), 'meta', { security: local.coding, tag: local.coding }))).toEqual(
      ['warning extensible-binding Patient.meta.security[0]'],
    )
  })
})
