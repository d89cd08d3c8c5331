import { describe, expect, it } from 'vitest'
import { validReading } from '../../../../tests/support/valid-resources.ts'
import { frozen } from '../../basics/frozen.ts'
import { errorsIn } from '../validate-resource.ts'

const placesIn = (change: object) =>
  errorsIn({ ...validReading(), ...change }).map(({ rule, at }) => `${rule} ${at}`)
const VITAL_SIGNS = {
  system: 'http://terminology.hl7.org/CodeSystem/observation-category',
  code: 'vital-signs',
}

describe('constants held to a profile', () => {
  it('are found wrong each time', () => {
    const category = frozen([{ coding: [{ ...VITAL_SIGNS, code: 'laboratory' }] }])
    const first = placesIn({ category })
    expect(first).toContain('vitalsigns Observation.category')
    expect(placesIn({ category })).toEqual(first)
  })

  it('are found right the second time too, and only under the rules they kept', () => {
    const category = frozen([{ coding: [VITAL_SIGNS] }])
    expect([placesIn({ category }), placesIn({ category })]).toEqual([[], []])
    const code = frozen({ coding: [{ system: 'http://loinc.org', code: '85354-9' }] })
    expect([placesIn({ code }), placesIn({ code })]).toEqual([[], []])
    const [, diastolic] = validReading().component ?? []
    expect(placesIn({ component: [{ ...diastolic, code }, diastolic] })).toEqual(['bp Observation.component'])
  })

  it('put a component into the same slice each time, and into that of each profile', () => {
    const [systolic, diastolic] = validReading().component ?? []
    const code = frozen({ coding: [{ system: 'http://loinc.org', code: '8480-6' }] })
    const component = [{ ...systolic, code, valueQuantity: { value: 134, unit: 'kPa' } }, diastolic]
    const first = placesIn({ component })
    expect(first).toContain('bp Observation.component[0].value.code')
    expect(placesIn({ component })).toEqual(first)
    expect(placesIn({ component: [{ ...systolic, code }, { ...systolic, code }, diastolic] })).toEqual([
      'bp Observation.component',
    ])
  })

  it('are looked at again while anything in them can change', () => {
    const coding = { ...VITAL_SIGNS }
    const category = Object.freeze([Object.freeze({ coding: Object.freeze([coding]) })])
    expect(placesIn({ category })).toEqual([])
    coding.code = 'laboratory'
    expect(placesIn({ category })).toContain('vitalsigns Observation.category')
  })

  it('have each extension in them held to its definition every time', () => {
    const url = 'http://hl7.org/fhir/StructureDefinition/observation-bodyPosition'
    const bodySite = frozen({
      text: 'Left upper arm',
      extension: [{ url, valueString: 'Sitting' }],
    })
    const first = placesIn({ bodySite })
    expect(first).toEqual([
      'observation-bodyPosition Observation.bodySite.extension[0]',
      'observation-bodyPosition Observation.bodySite.extension[0].value',
    ])
    expect(placesIn({ bodySite })).toEqual(first)
  })
})
