import { describe, expect, it } from 'vitest'
import { validReading } from '../../../../tests/support/valid-resources.ts'
import { frozen } from '../../basics/frozen.ts'
import { errorsIn } from '../validate-resource.ts'

const placesIn = (change: object) =>
  errorsIn({ ...validReading(), ...change }).map(({ rule, at }) => `${rule} ${at}`)

describe('constants that are items of a list', () => {
  const [systolic, diastolic] = frozen(structuredClone(validReading().component ?? []))

  it('are found right each time, and counted each time', () => {
    expect([
      placesIn({ component: [systolic, diastolic] }),
      placesIn({ component: [systolic, diastolic] }),
    ]).toEqual([[], []])
    const alone = placesIn({ component: [systolic] })
    expect(alone).toContain('bp Observation.component')
    expect(placesIn({ component: [systolic] })).toEqual(alone)
    expect(placesIn({ component: [systolic, systolic] })).toContain('bp Observation.component')
  })

  it('are found wrong each time', () => {
    const wrong = frozen({ ...systolic, valueQuantity: { ...systolic?.valueQuantity, code: 'kPa' } })
    const first = placesIn({ component: [wrong, diastolic] })
    expect(first).toContain('bp Observation.component[0].value.code')
    expect(placesIn({ component: [wrong, diastolic] })).toEqual(first)
  })

  it('are not taken for the whole of the element', () => {
    placesIn({ component: [systolic, diastolic] })
    expect(placesIn({ component: systolic })).toContain('bp Observation.component')
  })

  it('are looked at again while anything in them can change', () => {
    const valueQuantity = { ...systolic?.valueQuantity }
    const component = [Object.freeze({ ...systolic, valueQuantity }), diastolic]
    expect(placesIn({ component })).toEqual([])
    valueQuantity.code = 'kPa'
    expect(placesIn({ component })).toContain('bp Observation.component[0].value.code')
  })
})

describe('a choice', () => {
  it('is found under whatever variant or extension of one it has', () => {
    for (const value of [{ valueInteger: 1 }, { valueString: 'a' }, { _valueBoolean: { id: 'a' } }])
      expect(placesIn(value)).toContain('bp Observation.value')
    const { effectiveDateTime: _, ...timeless } = validReading()
    const places = errorsIn(timeless).map(({ rule, at }) => `${rule} ${at}`)
    expect(places).toContain('vitalsigns Observation.effective')
  })
})
