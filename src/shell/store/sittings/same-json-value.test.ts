import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { sameJsonValue } from './same-json-value.ts'

describe('sameJsonValue', () => {
  const cases: readonly [string, string, boolean][] = [
    ['{"a":1,"b":2}', '{"b":2,"a":1}', true],
    ['{"a":1}', '{"a":1,"b":null}', false],
    ['{"a":null}', '{"b":null}', false],
    ['{"a":null}', '{}', false],
    ['134', '134.0', true],
    ['1e2', '100', true],
    ['-0', '0', true],
    ['134', '"134"', false],
    ['[1,2]', '[2,1]', false],
    ['[]', '{}', false],
    ['[1]', '[1,1]', false],
    ['null', '{}', false],
    ['{"__proto__":1}', '{}', false],
    ['{"__proto__":{"a":1}}', '{"__proto__":{"a":1}}', true],
    ['"\\u00e9"', '"é"', true],
  ]
  for (const [one, other, same] of cases) {
    it(`takes ${one} and ${other} for ${same ? 'the same' : 'different'}`, () => {
      expect(sameJsonValue(JSON.parse(one), JSON.parse(other))).toBe(same)
      expect(sameJsonValue(JSON.parse(other), JSON.parse(one))).toBe(same)
    })
  }

  it('takes any value for the same as its copy with all keys turned round', () => {
    fc.assert(
      fc.property(fc.jsonValue(), (value) => sameJsonValue(value, turned(JSON.parse(JSON.stringify(value))))),
    )
  })
})

function turned(value: unknown): unknown {
  if (Array.isArray(value)) return value.map(turned)
  if (typeof value !== 'object' || value === null) return value
  const members = Object.entries(value).map(([key, item]) => [key, turned(item)] as const)
  return Object.fromEntries(members.reverse())
}
