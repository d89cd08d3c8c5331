import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { jsonArrayItems } from './json-array-items.ts'

describe('cutting the text of a JSON array into its items', () => {
  it('keeps each item as it was written', () => {
    expect(jsonArrayItems(' [ {"a": 120.0} ,{"b":[1,{"c":"]"}]}\n]\n')).toEqual([
      '{"a": 120.0}',
      '{"b":[1,{"c":"]"}]}',
    ])
  })

  it('agrees with JSON.parse on any array', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), (values) => {
        const items = jsonArrayItems(JSON.stringify(values, null, 1))
        expect(items?.map((item) => JSON.parse(item))).toEqual(JSON.parse(JSON.stringify(values)))
      }),
    )
  })

  it.each([
    ['an empty array', '[]', []],
    ['an empty array with space in it', '[ \n ]', []],
    ['an escaped quote', String.raw`["a\"],[","b\\"]`, [String.raw`"a\"],["`, String.raw`"b\\"`]],
    ['an empty place', '[1,,2]', ['1', '', '2']],
  ])('cuts %s', (_name, text, items) => {
    expect(jsonArrayItems(text)).toEqual(items)
  })

  it.each([
    ['a truncated array', '[{"a":1},{"b"'],
    ['a truncated string', '[{"a":"1]'],
    ['something after the end', '[1] [2]'],
    ['a bracket too many', '[1]]'],
    ['a brace that closes nothing', '[}]'],
    ['an object', '{"a":[1]}'],
    ['nothing', ''],
  ])('has no items for %s', (_name, text) => {
    expect(jsonArrayItems(text)).toBeUndefined()
  })
})
