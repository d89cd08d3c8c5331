import type { Bundle, BundleEntry, Extension, Observation, Period } from 'fhir/r4.js'
import type { CheckedSession } from '../../src/core/clinical/averaging/period-average.ts'
import { timeOf } from '../../src/core/clinical/session.ts'

/** What a system that is not this gateway states as an average. */
export interface ForeignAverage {
  readonly systolic: number
  readonly diastolic: number
  readonly readings: number
  readonly effectivePeriod?: Period
  /** Canonical of a protocol, by `workflow-adheresTo`. */
  readonly adheresTo?: string
  readonly notes?: readonly string[]
}

const BASE = 'https://clinic.example/r4'

/**
 * Readings and their average as a collection that another system could send: by relative references, without any
 * extension, sitting or time zone of ours. The average is the last entry.
 */
export function foreignBundle(sittings: readonly CheckedSession[], average: ForeignAverage): Bundle {
  const readings = sittings.flatMap(({ session }) =>
    session.readings.map((reading) =>
      observation('85354-9', {
        effectiveDateTime: localText(timeOf(reading, session).epochMs, session.takenAt.text),
        component: [
          pressure('8480-6', reading.systolic?.value ?? 0),
          pressure('8462-4', reading.diastolic?.value ?? 0),
        ],
      }),
    ),
  )
  const { adheresTo, notes, effectivePeriod } = average
  const extension: Extension[] = [
    { url: NUMBER_OF_MEASUREMENTS, valueInteger: average.readings },
    ...(adheresTo === undefined ? [] : [{ url: ADHERES_TO, valueCanonical: adheresTo }]),
  ]
  const stated = observation('96607-7', {
    extension,
    ...(effectivePeriod === undefined ? {} : { effectivePeriod }),
    ...(notes === undefined ? {} : { note: notes.map((text) => ({ text })) }),
    derivedFrom: readings.map((_, place) => ({ reference: `Observation/${idAt(place)}` })),
    component: [pressure('96608-5', average.systolic), pressure('96609-3', average.diastolic)],
  })
  return { resourceType: 'Bundle', type: 'collection', entry: [...readings, stated].map(entryOf) }
}

const NUMBER_OF_MEASUREMENTS =
  'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/NumberOfMeasurementsExt'
const ADHERES_TO = 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo'

function observation(code: string, said: Partial<Observation>): Observation {
  return {
    resourceType: 'Observation',
    status: 'final',
    code: { coding: [{ system: 'http://loinc.org', code }] },
    subject: { reference: 'Patient/p1' },
    ...said,
  }
}

function pressure(code: string, value: number) {
  return {
    code: { coding: [{ system: 'http://loinc.org', code }] },
    valueQuantity: { value, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' },
  }
}

function entryOf(resource: Observation, place: number): BundleEntry {
  return { fullUrl: `${BASE}/Observation/${idAt(place)}`, resource: { ...resource, id: idAt(place) } }
}

function idAt(place: number): string {
  return `o-${place}`
}

/** A moment with the offset of another text. */
function localText(epochMs: number, like: string): string {
  const offset = /(?:Z|[+-]\d\d:\d\d)$/.exec(like)?.[0] ?? 'Z'
  const minutes =
    offset === 'Z' ? 0 : Number(`${offset[0]}1`) * (Number(offset.slice(1, 3)) * 60 + Number(offset.slice(4)))
  return `${new Date(epochMs + minutes * 60_000).toISOString().slice(0, 19)}${offset}`
}
