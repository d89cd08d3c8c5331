import { canaryText } from '../canaries.ts'
import type { Chooser } from '../chooser.ts'
import { jsonTree } from '../json-tree.ts'
import type { FuzzFormat } from './fuzz-format.ts'
import { countReadings, type MadeReading, madeSittings } from './made-sittings.ts'

export const FHIR_R4: FuzzFormat = {
  name: 'FHIR R4',
  mapping: 'fhir-r4',
  valid(random) {
    const sittings = madeSittings(random)
    const observations = sittings.flatMap(({ subject, readings }) =>
      readings.flatMap((reading) =>
        random.happens(0.4)
          ? [panel(subject, reading, random), pulse(subject, reading)]
          : [panel(subject, reading, random)],
      ),
    )
    const entry = observations.map((resource) => ({ fullUrl: `urn:uuid:${random.uuid()}`, resource }))
    return {
      records: observations.map(jsonTree),
      document: jsonTree({ resourceType: 'Bundle', type: 'collection', entry }),
      readings: countReadings(sittings),
    }
  },
}

/** A reading as an Observation of both pressures, from a monitor that is named. */
export function panel(subject: string, reading: MadeReading, random: Chooser): object {
  const { id, time, systolic, diastolic } = reading
  return {
    resourceType: 'Observation',
    identifier: [{ system: 'https://harbour-app.example/readings', value: id }],
    status: 'final',
    category: [
      {
        coding: [
          { system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'vital-signs' },
        ],
      },
    ],
    code: loinc('85354-9'),
    subject: { reference: `Patient/${subject}` },
    effectiveDateTime: `${time}+00:00`,
    device: { reference: 'Device/monitor' },
    bodySite: {
      coding: [{ system: 'http://snomed.info/sct', code: '723961002' }],
      text: 'Left upper arm',
    },
    component: [
      { code: loinc('8480-6'), valueQuantity: pressure(systolic) },
      { code: loinc('8462-4'), valueQuantity: pressure(diastolic) },
    ],
    ...(random.happens(0.3) ? { note: [{ text: canaryText(random) }] } : {}),
  }
}

function pulse(subject: string, { id, time, pulse: value }: MadeReading): object {
  return {
    resourceType: 'Observation',
    identifier: [{ system: 'https://harbour-app.example/readings', value: `${id}-p` }],
    status: 'final',
    code: loinc('8867-4'),
    subject: { reference: `Patient/${subject}` },
    effectiveDateTime: `${time}+00:00`,
    device: { reference: 'Device/monitor' },
    valueQuantity: { value, unit: 'beats/minute', system: 'http://unitsofmeasure.org', code: '/min' },
  }
}

function loinc(code: string): object {
  return { coding: [{ system: 'http://loinc.org', code }] }
}

function pressure(value: number): object {
  return { value, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' }
}
