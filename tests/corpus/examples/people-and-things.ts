import { concept, div, MDC } from './coded.ts'

/** Patient, Device, Provenance, AuditEvent and OperationOutcome of R4 4.0.1 and PHD 2.0.0; all people are invented. */

/** Source: FHIR R4 4.0.1, patient-example: names of several periods, a contact, a managing organization. */
export function patient() {
  return {
    resourceType: 'Patient',
    id: 'ada',
    text: { status: 'generated', div: div('<p>Ada Invented</p>') },
    identifier: [
      {
        use: 'usual',
        type: concept('http://terminology.hl7.org/CodeSystem/v2-0203', 'MR'),
        system: 'urn:oid:1.2.36.146.595.217.0.1',
        value: '12345',
        period: { start: '2001-05-06' },
        assigner: { display: 'An invented clinic' },
      },
    ],
    active: true,
    name: [
      { use: 'official', family: 'Invented', given: ['Ada', 'Maria'] },
      { use: 'maiden', family: 'Madeup', given: ['Ada'], period: { end: '2002' } },
    ],
    telecom: [
      { use: 'home' },
      { system: 'phone', value: '555-0100', use: 'work', rank: 1 },
      { system: 'phone', value: '555-0101', use: 'old', period: { end: '2014' } },
    ],
    gender: 'female',
    birthDate: '1974-12-25',
    _birthDate: {
      extension: [
        {
          url: 'http://hl7.org/fhir/StructureDefinition/patient-birthTime',
          valueDateTime: '1974-12-25T14:35:45-05:00',
        },
      ],
    },
    deceasedBoolean: false,
    address: [
      {
        use: 'home',
        type: 'both',
        text: '1 Nowhere Street',
        line: ['1 Nowhere Street'],
        city: 'Nowhere',
        period: { start: '1974-12-25' },
      },
    ],
    contact: [
      {
        relationship: [concept('http://terminology.hl7.org/CodeSystem/v2-0131', 'N')],
        name: { family: 'Other', given: ['Ben'] },
        gender: 'male',
        period: { start: '2012' },
      },
    ],
    communication: [{ language: concept('urn:ietf:bcp:47', 'nl'), preferred: true }],
    managingOrganization: { reference: 'Organization/1' },
    link: [{ other: { reference: 'Patient/pat2' }, type: 'seealso' }],
  }
}

/** Source: FHIR R4 4.0.1, device-example and device-example-udi1. */
export function device() {
  return {
    resourceType: 'Device',
    id: 'example',
    identifier: [{ system: 'https://devices.example/id', value: '345675' }],
    udiCarrier: [
      {
        deviceIdentifier: '00844588003288',
        issuer: 'http://hl7.org/fhir/NamingSystem/gs1',
        jurisdiction: 'http://hl7.org/fhir/NamingSystem/fda-udi',
        carrierHRF: '(01)00844588003288(17)141120',
        entryType: 'manual',
      },
    ],
    status: 'active',
    manufacturer: 'An invented maker',
    manufactureDate: '2014-11-20',
    deviceName: [{ name: 'Cuff One', type: 'user-friendly-name' }],
    modelNumber: 'C-1',
    property: [{ type: { text: 'Cuff' }, valueQuantity: [{ value: 32, unit: 'cm' }] }],
    note: [{ text: 'Kept at home', time: '2015-08-10' }],
  }
}

/** Source: PHD 2.0.0, device profile: SYSID, type 65573, specialization with version, versions. */
export function personalHealthDevice() {
  return {
    resourceType: 'Device',
    id: 'cuff',
    identifier: [
      { system: 'urn:oid:1.2.840.10004.1.1.1.0.0.1.0.0.1.2680', value: '12-34-56-78-90-AB-CD-EF' },
    ],
    manufacturer: 'An invented maker',
    modelNumber: 'C-1',
    type: concept(MDC, '65573'),
    specialization: [{ systemType: concept(MDC, '528391'), version: '1' }],
    version: [{ type: concept(MDC, '531975'), value: '1.2.3' }],
    patient: { reference: 'Patient/ada' },
  }
}

/** Source: FHIR R4 4.0.1, provenance-example. */
export function provenance() {
  return {
    resourceType: 'Provenance',
    id: 'example',
    target: [{ reference: 'Observation/blood-pressure' }],
    occurredPeriod: { start: '2015-06-27', end: '2015-06-28' },
    recorded: '2015-06-27T08:39:24+10:00',
    policy: ['https://policies.example/fhir/consent'],
    reason: [concept('http://terminology.hl7.org/CodeSystem/v3-ActReason', 'TREAT')],
    agent: [
      {
        type: concept('http://terminology.hl7.org/CodeSystem/provenance-participant-type', 'author'),
        who: { reference: 'Practitioner/grace' },
        onBehalfOf: { reference: 'Organization/1' },
      },
    ],
    entity: [{ role: 'source', what: { reference: 'DocumentReference/example' } }],
  }
}

/** Source: FHIR R4 4.0.1, audit-event-example-rest: a read over the REST interface. */
export function auditEvent() {
  return {
    resourceType: 'AuditEvent',
    id: 'example-rest',
    type: {
      system: 'http://terminology.hl7.org/CodeSystem/audit-event-type',
      code: 'rest',
      display: 'RESTful Operation',
    },
    subtype: [{ system: 'http://hl7.org/fhir/restful-interaction', code: 'vread', display: 'vread' }],
    action: 'E',
    period: { start: '2013-06-20T23:41:23Z', end: '2013-06-20T23:41:24Z' },
    recorded: '2013-06-20T23:42:24Z',
    outcome: '0',
    agent: [
      {
        who: { identifier: { value: '95' } },
        altId: '601847123',
        name: 'Grace Invented',
        requestor: true,
        network: { address: '127.0.0.1', type: '2' },
      },
    ],
    source: {
      site: 'Cloud',
      observer: { display: 'records.example' },
      type: [
        {
          system: 'http://terminology.hl7.org/CodeSystem/security-source-type',
          code: '3',
          display: 'Web Server',
        },
      ],
    },
    entity: [
      {
        what: { reference: 'Patient/ada/_history/1' },
        type: { system: 'http://terminology.hl7.org/CodeSystem/audit-entity-type', code: '2' },
        lifecycle: { system: 'http://terminology.hl7.org/CodeSystem/dicom-audit-lifecycle', code: '6' },
        name: 'The record',
        detail: [{ type: 'request', valueString: 'r-1' }],
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, operationoutcome-example-validationfail. */
export function operationOutcome() {
  return {
    resourceType: 'OperationOutcome',
    id: 'validationfail',
    text: { status: 'generated', div: div('<p>A property is not defined</p>') },
    issue: [
      {
        severity: 'error',
        code: 'structure',
        details: { text: 'A property is not defined' },
        location: ['/f:Patient/f:identifier'],
        expression: ['Patient.identifier'],
      },
    ],
  }
}
