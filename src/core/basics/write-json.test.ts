import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { writeJson } from './write-json.ts'

describe('writing JSON', () => {
  it('writes any JSON value as JSON.stringify does, byte for byte', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 5 }), (value) => {
        expect(writeJson(value)).toBe(JSON.stringify(value))
      }),
      { numRuns: 2000 },
    )
  })

  it('writes a frozen value the same the second time', () => {
    fc.assert(
      fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
        const constant = deepFrozen(value)
        expect([writeJson([constant]), writeJson([constant])]).toEqual(Array(2).fill(JSON.stringify([value])))
      }),
    )
  })

  it('remembers nothing of a frozen value that holds one that can change', () => {
    const inner = { systolic: 1 }
    const outer = Object.freeze({ inner })
    expect(writeJson(outer)).toBe('{"inner":{"systolic":1}}')
    inner.systolic = 2
    expect(writeJson(outer)).toBe('{"inner":{"systolic":2}}')
  })

  it.each([
    [{ a: undefined, b: 1 }, '{"b":1}'],
    [{ a: undefined }, '{}'],
    [[undefined], '[null]'],
    ['\u2028"\\\u0007é', JSON.stringify('\u2028"\\\u0007é')],
    ['\ud800', '"\\ud800"'],
  ])('leaves out what is undefined and escapes what needs it: %j', (value, text) => {
    expect(writeJson(value)).toBe(text)
  })
})

function deepFrozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null) {
    for (const inner of Object.values(value)) deepFrozen(inner)
    Object.freeze(value)
  }
  return value
}
