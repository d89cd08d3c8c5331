import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { walkJson } from './json-walk.ts'

const accepts = (text: string) => walkJson(text, () => {}) === undefined

function parses(text: string): boolean {
  try {
    JSON.parse(text)
    return true
  } catch (error) {
    if (error instanceof SyntaxError) return false
    throw error
  }
}

/** JSON with one slip: a few characters taken out, put in or exchanged. */
function slipped(): fc.Arbitrary<string> {
  const inserted = fc.oneof(fc.constantFrom(...'{}[]:,"\\-+.eE01 \n\t\u0000tfn'), fc.string({ maxLength: 2 }))
  return fc.tuple(fc.json(), fc.nat(), fc.nat(2), inserted).map(([text, where, taken, put]) => {
    const at = where % (text.length + 1)
    return text.slice(0, at) + put + text.slice(at + taken)
  })
}

describe('walking JSON', () => {
  it('accepts and refuses the same texts as JSON.parse', () => {
    fc.assert(
      fc.property(fc.oneof(fc.json(), slipped(), fc.string()), (text) => {
        expect(accepts(text)).toBe(parses(text))
      }),
      { numRuns: 3000 },
    )
  })

  it('finds the fault of a text that ends too early at its end', () => {
    const text = '{"a":[1,{"b":"c\\n"}],"d":null}'
    for (let length = 0; length < text.length; length++) {
      const fault = walkJson(text.slice(0, length), () => {})
      // A word or an escape that breaks off is a fault from its first character on.
      expect(fault?.offset).toBeGreaterThan(length - 5)
      expect(fault?.offset).toBeLessThanOrEqual(length)
    }
  })

  it('tells every key with its path, and whether its object had it before', () => {
    const met: string[] = []
    const fault = walkJson('{"a":[{"b":1},{"b":2,"c":{},"b":3}],"a":4}', (path, repeated) => {
      met.push(`${path.join('/')}${repeated ? ' again' : ''}`)
    })
    expect(fault).toBeUndefined()
    expect(met).toEqual(['a', 'a/0/b', 'a/1/b', 'a/1/c', 'a/1/b again', 'a again'])
  })
})
