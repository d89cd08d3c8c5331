import type { Bundle, BundleEntry, Observation, ObservationComponent, Resource } from 'fhir/r4.js'
import type { CheckedSession } from '../../src/core/clinical/averaging/period-average.ts'
import type { Person } from './people.ts'

const BASE = 'https://lantern-bay.example/records'
const LOINC = 'http://loinc.org'

/**
 * The readings of a person's week as a system without this gateway might hold them, and their plain mean as somebody
 * typed it: the last two digits of the systolic one are swapped.
 */
export function averageTypedByHand(person: Person, sittings: readonly CheckedSession[]): Bundle {
  const patient = {
    resourceType: 'Patient' as const,
    id: person.subject,
    identifier: [person.patient],
    name: [{ family: person.name.family, given: [person.name.given] }],
  }
  const taken = sittings.flatMap(({ session }) =>
    session.readings.flatMap(({ systolic, diastolic, takenAt = session.takenAt }) =>
      systolic === null || diastolic === null
        ? []
        : [{ systolic: systolic.value, diastolic: diastolic.value, at: takenAt.text }],
    ),
  )
  const readings = taken.map(({ systolic, diastolic, at }, index) => ({
    ...observation(person, `reading-${index + 1}`, '85354-9'),
    effectiveDateTime: at,
    component: [pressure('8480-6', systolic), pressure('8462-4', diastolic)],
  }))
  const average: Observation = {
    ...observation(person, 'average', '96607-7'),
    effectivePeriod: { start: taken[0]?.at ?? '', end: taken.at(-1)?.at ?? '' },
    derivedFrom: readings.map(({ id }) => ({ reference: `Observation/${id}` })),
    component: [
      pressure('96608-5', lastTwoSwapped(wholeMean(taken.map(({ systolic }) => systolic)))),
      pressure('96609-3', wholeMean(taken.map(({ diastolic }) => diastolic))),
    ],
  }
  return { resourceType: 'Bundle', type: 'collection', entry: [patient, ...readings, average].map(entryOf) }
}

function observation(person: Person, id: string, code: string): Observation & { id: string } {
  return {
    resourceType: 'Observation',
    id,
    status: 'final',
    category: [
      {
        coding: [
          {
            system: 'http://terminology.hl7.org/CodeSystem/observation-category',
            code: 'vital-signs',
          },
        ],
      },
    ],
    code: { coding: [{ system: LOINC, code }] },
    subject: { reference: `Patient/${person.subject}` },
  }
}

function pressure(code: string, value: number): ObservationComponent {
  return {
    code: { coding: [{ system: LOINC, code }] },
    valueQuantity: { value, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
  }
}

function wholeMean(values: readonly number[]): number {
  return Math.round(values.reduce((sum, value) => sum + value, 0) / values.length)
}

function lastTwoSwapped(value: number): number {
  const digits = String(value)
  return Number(digits.slice(0, -2) + digits.slice(-1) + digits.slice(-2, -1))
}

function entryOf(resource: Resource): BundleEntry {
  return { fullUrl: `${BASE}/${resource.resourceType}/${resource.id}`, resource } as BundleEntry
}
