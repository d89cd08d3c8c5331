import {
  ABSENT,
  CATEGORY,
  concept,
  div,
  INTERPRETATION,
  LOINC,
  loinc,
  MDC,
  mmHg,
  quantity,
  R4_PROFILE,
  SNOMED,
  vitalSigns,
} from './coded.ts'

/** Observations of R4 4.0.1 and of the PHD guide 2.0.0, their facts retyped; people and places are invented. */

/** Source: FHIR R4 4.0.1, observation-example-bloodpressure. */
export function bloodPressure() {
  return {
    resourceType: 'Observation',
    id: 'blood-pressure',
    meta: { profile: [`${R4_PROFILE}vitalsigns`] },
    text: { status: 'generated', div: div('<p>Blood pressure 107/60 mmHg</p>') },
    identifier: [{ system: 'urn:ietf:rfc:3986', value: 'urn:uuid:0c0a7c5e-3f0f-4d4e-9b1d-3c4be0d0a001' }],
    basedOn: [{ identifier: { system: 'https://orders.example/id', value: '1234' } }],
    status: 'final',
    category: vitalSigns(),
    code: { ...loinc('85354-9'), text: 'Blood pressure systolic & diastolic' },
    subject: { reference: 'Patient/ada' },
    effectiveDateTime: '2012-09-17',
    performer: [{ reference: 'Practitioner/grace' }],
    interpretation: [{ ...concept(INTERPRETATION, 'L', 'Low'), text: 'Below low normal' }],
    bodySite: concept(SNOMED, '368209003'),
    component: [
      {
        code: {
          coding: [
            { system: LOINC, code: '8480-6' },
            { system: SNOMED, code: '271649006' },
          ],
        },
        valueQuantity: mmHg(107),
        interpretation: [{ ...concept(INTERPRETATION, 'N', 'Normal'), text: 'Normal' }],
      },
      {
        code: loinc('8462-4', 'Diastolic blood pressure'),
        valueQuantity: mmHg(60),
        interpretation: [{ ...concept(INTERPRETATION, 'L', 'Low'), text: 'Below low normal' }],
      },
    ],
  }
}

/** Source: FHIR R4 4.0.1, observation-example-bloodpressure-dar: the diastolic value is missing with its reason. */
export function bloodPressureWithoutDiastolic() {
  const { component, ...frame } = bloodPressure()
  return {
    ...frame,
    id: 'blood-pressure-dar',
    component: [
      component[0],
      { code: loinc('8462-4'), dataAbsentReason: concept(ABSENT, 'not-performed', 'Not Performed') },
    ],
  }
}

/** Source: FHIR R4 4.0.1, observation-example-heart-rate. */
export function heartRate() {
  return {
    resourceType: 'Observation',
    id: 'heart-rate',
    meta: { profile: [`${R4_PROFILE}vitalsigns`] },
    status: 'final',
    category: [{ ...vitalSigns()[0], text: 'Vital Signs' }],
    code: { ...loinc('8867-4', 'Heart rate'), text: 'Heart rate' },
    subject: { reference: 'Patient/ada' },
    effectiveDateTime: '1999-07-02',
    valueQuantity: quantity(44, '/min', 'beats/minute'),
  }
}

/** Source: FHIR R4 4.0.1, observation-example-vitals-panel: no value, its members are listed. */
export function vitalsPanel() {
  return {
    resourceType: 'Observation',
    id: 'vitals-panel',
    meta: { profile: [`${R4_PROFILE}vitalsigns`] },
    status: 'final',
    category: vitalSigns(),
    code: { ...loinc('85353-1'), text: 'Vital signs Panel' },
    subject: { reference: 'Patient/ada' },
    effectiveDateTime: '1999-07-02',
    hasMember: ['respiratory-rate', 'heart-rate', 'body-temperature'].map((id) => ({
      reference: `Observation/${id}`,
    })),
  }
}

/** Source: FHIR R4 4.0.1, observation-example-f001-glucose: a laboratory result, held to no profile. */
export function glucose() {
  return {
    resourceType: 'Observation',
    id: 'f001',
    identifier: [{ use: 'official', system: 'https://lab.example/observations', value: '6323' }],
    status: 'final',
    category: [concept(CATEGORY, 'laboratory', 'Laboratory')],
    code: loinc('15074-8'),
    subject: { reference: 'Patient/ada' },
    effectivePeriod: { start: '2013-04-02T09:30:10+01:00' },
    issued: '2013-04-03T15:30:10+01:00',
    performer: [{ reference: 'Practitioner/grace' }],
    valueQuantity: quantity(6.3, 'mmol/L', 'mmol/l'),
    interpretation: [concept(INTERPRETATION, 'H', 'High')],
    referenceRange: [{ low: quantity(3.1, 'mmol/L'), high: quantity(6.2, 'mmol/L') }],
  }
}

/** The frame of `glucose` without a value, for a value of any type. */
export function withoutValue() {
  const { valueQuantity: _, ...frame } = glucose()
  return frame
}

const coincident = () => [
  {
    url: 'http://hl7.org/fhir/uv/phd/StructureDefinition/CoincidentTimeStampReference',
    valueReference: { reference: 'Observation/coincident' },
  },
]

/** Source: PHD 2.0.0, compound numeric observation of a blood pressure monitor, MDC beside LOINC. */
export function deviceBloodPressure() {
  return {
    resourceType: 'Observation',
    id: 'phd-blood-pressure',
    extension: [
      { url: `${R4_PROFILE}observation-gatewayDevice`, valueReference: { reference: 'Device/phg' } },
      ...coincident(),
    ],
    identifier: [
      {
        system: 'http://hl7.org/fhir/uv/phd/StructureDefinition/PhdBaseObservation',
        value: '1234567890ABCDEF-ada-150020-20260302T064100',
      },
    ],
    status: 'final',
    category: [
      ...vitalSigns(),
      concept('http://hl7.org/fhir/uv/phd/CodeSystem/PhdObservationCategories', 'phd'),
    ],
    code: {
      coding: [
        { system: MDC, code: '150020' },
        { system: LOINC, code: '85354-9' },
      ],
    },
    subject: { reference: 'Patient/ada' },
    effectiveDateTime: '2026-03-02T06:41:00-07:00',
    performer: [{ reference: 'Patient/ada' }],
    device: { reference: 'Device/cuff' },
    component: [
      {
        code: {
          coding: [
            { system: MDC, code: '150021' },
            { system: LOINC, code: '8480-6' },
          ],
        },
        valueQuantity: mmHg(124),
      },
      {
        code: {
          coding: [
            { system: MDC, code: '150022' },
            { system: LOINC, code: '8462-4' },
          ],
        },
        valueQuantity: mmHg(79),
      },
      { code: { coding: [{ system: MDC, code: '150023' }] }, valueQuantity: mmHg(94) },
    ],
  }
}

/** Source: PHD 2.0.0, bits enumeration observation: the monitor's status beside the reading it is derived from. */
export function deviceStatus() {
  return {
    resourceType: 'Observation',
    id: 'phd-status',
    status: 'final',
    category: [concept('http://hl7.org/fhir/uv/phd/CodeSystem/PhdObservationCategories', 'phd')],
    code: concept(MDC, '8410608'),
    subject: { reference: 'Patient/ada' },
    effectiveDateTime: '2026-03-02T06:41:00-07:00',
    device: { reference: 'Device/cuff' },
    derivedFrom: [{ reference: 'Observation/phd-blood-pressure' }],
    component: [
      {
        code: concept('http://terminology.hl7.org/CodeSystem/ASN1ToHL7', '8410608.2'),
        valueBoolean: true,
      },
    ],
  }
}

/** Source: PHD 2.0.0, coincident timestamp observation: the device's clock as the gateway saw it. */
export function coincidentTimestamp() {
  return {
    resourceType: 'Observation',
    id: 'coincident',
    status: 'final',
    category: [concept('http://hl7.org/fhir/uv/phd/CodeSystem/PhdObservationCategories', 'phd')],
    code: concept(MDC, '67975'),
    subject: { reference: 'Device/cuff' },
    effectiveDateTime: '2026-03-02T06:42:10-07:00',
    device: { reference: 'Device/phg' },
    valueDateTime: '2026-03-02T06:44:02-07:00',
  }
}
