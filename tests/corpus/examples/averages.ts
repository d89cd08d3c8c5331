import { concept, loinc, mmHg, quantity, SNOMED, US_CORE_PROFILE, vitalSigns } from './coded.ts'

/** Averages of blood pressure, facts of published examples retyped; people are invented. */

/** Source: US Core 9.0.0, example of the average blood pressure profile; its count has a unit UCUM knows here. */
export function average() {
  return {
    resourceType: 'Observation',
    id: 'average-blood-pressure',
    meta: { profile: [`${US_CORE_PROFILE}us-core-average-blood-pressure`] },
    status: 'final',
    category: vitalSigns(),
    code: loinc('96607-7', 'Blood pressure panel mean systolic and mean diastolic'),
    subject: { reference: 'Patient/ada' },
    effectivePeriod: { start: '2023-10-01T07:00:00-08:00', end: '2023-10-03T19:00:00-08:00' },
    performer: [{ reference: 'Patient/ada' }],
    note: [{ text: 'Twelve readings over three days, seated, upper arm.' }],
    component: [
      { code: loinc('96608-5', 'Systolic blood pressure mean'), valueQuantity: mmHg(124) },
      { code: loinc('96609-3', 'Diastolic blood pressure mean'), valueQuantity: mmHg(79) },
      { code: concept(SNOMED, '246432004'), valueQuantity: quantity(12, '{#}') },
    ],
  }
}

/** Source: CardX Hypertension Management 1.0.0, an average with mandatory parts: issued, one performer, a count. */
export function averageWithCount() {
  const { meta: _, component, ...frame } = average()
  return {
    ...frame,
    extension: [
      {
        url: 'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/NumberOfMeasurementsExt',
        valueInteger: 12,
      },
    ],
    issued: '2023-10-03T19:05:00-08:00',
    derivedFrom: [{ reference: 'Observation/blood-pressure' }],
    component: component.slice(0, 2),
  }
}

/** Source: CIMI Vital Signs, a 24-hour mean: LOINC 97844-5 with 8490-5 and 8472-3. */
export function dayAndNightMean() {
  const { meta: _, ...frame } = average()
  return {
    ...frame,
    code: loinc('97844-5'),
    effectivePeriod: { start: '2023-10-16T12:30:00+10:00', end: '2023-10-17T12:30:00+10:00' },
    component: [
      { code: loinc('8490-5'), valueQuantity: mmHg(120) },
      { code: loinc('8472-3'), valueQuantity: mmHg(80) },
    ],
  }
}
