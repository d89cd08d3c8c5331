/**
 * Sources, element by element:
 * - US Core Average Blood Pressure, http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure,
 *   7.0.0 (2024) to 9.0.0, with its guidance on protocol and number of measurements.
 * - CardX Hypertension Management 1.0.0 STU1, average-smbp and NumberOfMeasurementsExt (integer, 1..1).
 * - Vital Signs with Qualifying Elements 1.0.0 STU1, average-blood-pressure.
 * All three derive from Observation, not from vitalsigns. The table says which of them asks for what.
 */
import type { Observation, ObservationComponent } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { averageObservation } from '../../src/core/fhir/average/average-observation.ts'
import { exampleAverage } from '../support/example-average.ts'

const week = exampleAverage()
const nothing = exampleAverage({}, 0)
const AVERAGES: readonly (readonly [string, Observation])[] = [
  ['a week', averageObservation(week.report, week.context)],
  ['a period without a reading', averageObservation(nothing.report, nothing.context)],
]

function components(average: Observation, system: string, code: string): readonly ObservationComponent[] {
  return (average.component ?? []).filter(({ code: { coding } }) =>
    coding?.some((one) => one.system === system && one.code === code),
  )
}

describe.each(AVERAGES)('the average of %s', (_, average) => {
  it('has category vital-signs exactly once (US Core VSCat 1..1; CardX: every category)', () => {
    expect(average.category).toHaveLength(1)
    expect(average.category?.[0]?.coding).toMatchObject([
      { system: 'http://terminology.hl7.org/CodeSystem/observation-category', code: 'vital-signs' },
    ])
  })

  it('has LOINC 96607-7 as its code (all three), and not the panel code of a reading (US Core after 7.0.0-ballot)', () => {
    expect(average.code.coding?.map(({ system, code }) => [system, code])).toEqual([
      ['http://loinc.org', '96607-7'],
    ])
  })

  it('has a status CardX allows: final, entered-in-error or unknown', () => {
    expect(average.status).toBe('final')
  })

  it('has subject 1..1, a Patient (all three)', () => {
    expect(average.subject?.reference).toMatch(/^Patient\b/)
  })

  it('has an effective Period with start and end (CardX 1..1 each; US Core dateTime or Period)', () => {
    expect(average.effectiveDateTime).toBeUndefined()
    const { start = '', end = '' } = average.effectivePeriod ?? {}
    expect(start).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d[+-]\d\d:\d\d$/)
    expect(Date.parse(start)).toBeLessThan(Date.parse(end))
  })

  it('has issued 1..1 (CardX)', () => {
    expect(average.issued).toMatch(/^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ$/)
  })

  it('has performer 1..1, the Patient (CardX; must-support in US Core 8.0.0)', () => {
    expect(average.performer).toEqual([average.subject])
  })

  it('has no value of its own (value[x] 0..0 in all three)', () => {
    expect(Object.keys(average).filter((key) => key.startsWith('value'))).toEqual([])
  })

  it.each([
    ['systolic', '96608-5'],
    ['diastolic', '96609-3'],
  ])(
    'has the %s mean %s exactly once, a value in mm[Hg] or the reason it is absent (us-core-26, vs-3)',
    (_name, code) => {
      const found = components(average, 'http://loinc.org', code)
      expect(found).toHaveLength(1)
      const [component] = found
      expect(component?.valueQuantity === undefined).not.toBe(component?.dataAbsentReason === undefined)
      if (component?.valueQuantity !== undefined) {
        expect(component.valueQuantity).toEqual({
          value: expect.any(Number),
          unit: expect.stringMatching(/./),
          system: 'http://unitsofmeasure.org',
          code: 'mm[Hg]',
        })
      }
    },
  )

  it('counts its readings by component SNOMED CT 246432004 (US Core SHOULD) and by integer extension 1..1 (CardX) alike', () => {
    const [count, ...others] = components(average, 'http://snomed.info/sct', '246432004')
    expect(others).toEqual([])
    const extensions = average.extension?.filter(
      ({ url }) => url === 'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/NumberOfMeasurementsExt',
    )
    expect(extensions).toHaveLength(1)
    expect(extensions?.[0]?.valueInteger).toBe(average.derivedFrom?.length ?? 0)
    expect(count?.valueQuantity).toEqual({
      value: extensions?.[0]?.valueInteger,
      unit: '{#}',
      system: 'http://unitsofmeasure.org',
      code: '{#}',
    })
  })

  it('names its protocol by workflow-adheresTo and in a note (US Core SHOULD: either)', () => {
    const adheres = average.extension?.filter(
      ({ url }) => url === 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo',
    )
    expect(adheres?.map(({ valueUri }) => valueUri)).toEqual([
      'https://home-bp-gateway.example/fhir/protocol/nice-ng136-home',
    ])
    expect(average.note?.some(({ text }) => text.includes('NICE NG136'))).toBe(true)
  })

  it('has no specimen (0..0 in Vital Signs with Qualifying Elements) and one body position at most', () => {
    expect(average.specimen).toBeUndefined()
    const positions = average.extension?.filter(({ url }) => url.endsWith('/observation-bodyPosition')) ?? []
    expect(positions.length).toBeLessThanOrEqual(1)
  })

  it('claims the three profiles', () => {
    expect(average.meta?.profile).toEqual([
      'http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure',
      'http://hl7.org/fhir/uv/cardx-htn-mng/StructureDefinition/average-smbp',
      'http://hl7.org/fhir/us/vitals/StructureDefinition/average-blood-pressure',
    ])
  })
})

it('claims CardX no more once it is amended, a status that CardX does not allow and the other two do', () => {
  const amended = averageObservation(week.report, { ...week.context, revision: 2 })
  expect(amended.status).toBe('amended')
  expect(amended.meta?.profile).toEqual([
    'http://hl7.org/fhir/us/core/StructureDefinition/us-core-average-blood-pressure',
    'http://hl7.org/fhir/us/vitals/StructureDefinition/average-blood-pressure',
  ])
})

it('derives from 21 readings of 28 in the week, by hand: four of day one, one without diastolic, two of the other arm', () => {
  expect(AVERAGES[0]?.[1].derivedFrom).toHaveLength(28 - 4 - 1 - 2)
})
