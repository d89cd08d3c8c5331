import { describe, expect, it } from 'vitest'
import { JsonPlaces } from './json-places.ts'

const TEXT = `{
  "resourceType": "Observation",
  "status": "final",
  "category": [
    { "coding": [] }
  ],
  "component": [
    { "valueQuantity": { "value": 130 } },
    {
      "valueQuantity": {
        "value": 80
      },
      "_valueString": {}
    }
  ]
}`

describe('the place of an element in JSON text', () => {
  const places = new JsonPlaces(TEXT)

  it.each([
    ['a primitive', 'Observation.status', 3, 3],
    ['a repeating element as a whole', 'Observation.category', 4, 3],
    ['one of a repeating element', 'Observation.component[1]', 9, 5],
    ['a choice by its FHIRPath name', 'Observation.component[1].value', 10, 7],
    ['an element inside a choice', 'Observation.component[1].value.value', 11, 9],
    ['the key that was written', 'Observation.component[1].valueQuantity', 10, 7],
    ['an element of which only extensions are there', 'Observation.component[1].valueString', 13, 7],
    ['a path without the type', 'status', 3, 3],
    ['the resource', 'Observation', 1, 1],
    ['nothing in particular', '', 1, 1],
  ])('finds %s', (_what, at, line, column) => {
    expect(places.of(at)).toEqual({ line, column })
  })

  it.each([
    ['an absent element', 'Observation.component[1].code', 9, 5],
    ['an item that is not there', 'Observation.component[7].code', 7, 3],
    ['an element of an absent one', 'Observation.subject.reference', 1, 1],
    ['what a function leads to', "Observation.category.where(coding.code = 'x.y')", 4, 3],
    ['an element of a primitive', 'Observation.status.extension', 3, 3],
  ])('takes the nearest element around %s', (_what, at, line, column) => {
    expect(places.of(at)).toEqual({ line, column })
  })

  it('finds the resources of an array by their position', () => {
    const array = new JsonPlaces('[\r\n {"status": 1},\r\n {"x": 1,\r\n  "status": 1}\r\n]')
    expect(array.of('Observation.status', 2)).toEqual({ line: 4, column: 3 })
    expect(array.of('', 1)).toEqual({ line: 2, column: 2 })
    expect(array.of('', 3)).toBeUndefined()
  })

  it('reads text that is no JSON as far as it goes, and nothing of an empty one', () => {
    expect(new JsonPlaces('{\n"status": ,').of('Observation.status')).toEqual({ line: 2, column: 1 })
    expect(new JsonPlaces('').of('Observation.status')).toBeUndefined()
  })
})
