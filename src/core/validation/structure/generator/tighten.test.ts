import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { publishedDefinitions } from './published-schema.ts'
import { reachableDefinitions } from './subset.ts'
import { tighten } from './tighten.ts'

const published = reachableDefinitions(publishedDefinitions(), ['Patient'])
const tightened = structuredClone(published)
tighten(tightened)

describe('the pattern of base64Binary', () => {
  const before = new RegExp(published.Extension?.properties?.valueBase64Binary?.pattern ?? '')
  const after = new RegExp(tightened.Extension?.properties?.valueBase64Binary?.pattern ?? '')

  it('accepts the same texts as the published one', () => {
    const text = fc
      .array(fc.constantFrom('AAAA', 'B', '=', ' ', '\n', '!'), { maxLength: 8 })
      .map((parts) => parts.join(''))
    fc.assert(fc.property(text, (sample) => before.test(sample) === after.test(sample)))
  })

  it('differs from it, and is used wherever the type is', () => {
    expect(after.source).not.toBe(before.source)
    expect(tightened.base64Binary?.pattern).toBe(after.source)
  })
})

describe('tightening', () => {
  it('makes every complex type an object and every list non-empty', () => {
    const complex = Object.values(tightened).filter(({ properties }) => properties !== undefined)
    expect(complex.length).toBeGreaterThan(40)
    for (const { properties = {}, type } of complex) {
      expect(['object', ['object', 'null']]).toContainEqual(type)
      for (const schema of Object.values(properties))
        if (schema.items !== undefined) expect(schema.minItems).toBe(1)
    }
  })

  it('makes whole numbers whole, by reference and spelt out in a choice', () => {
    expect(tightened.positiveInt).toEqual({ type: 'integer', minimum: 1, maximum: 2_147_483_647 })
    expect(tightened.Patient?.properties?.multipleBirthInteger).toEqual({
      type: 'integer',
      minimum: -2_147_483_648,
      maximum: 2_147_483_647,
    })
    expect(tightened.decimal).toEqual({ type: 'number' })
  })
})
