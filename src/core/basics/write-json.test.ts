import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { inAscii, writeJson } from './write-json.ts'

describe('writing JSON', () => {
  it('writes any JSON value as JSON.stringify does, byte for byte, with the characters beyond ASCII escaped', () => {
    fc.assert(
      fc.property(anyValue(5), (value) => {
        expect(writeJson(value)).toBe(escapedBeyondAscii(JSON.stringify(value)))
        expect(writeJson(value)).toMatch(/^[ -~]*$/)
        expect(JSON.parse(writeJson(value))).toEqual(JSON.parse(JSON.stringify(value)))
      }),
      { numRuns: 2000 },
    )
  })

  it('gives a text that was written otherwise the same form', () => {
    fc.assert(
      fc.property(anyValue(4), (value) => {
        expect(inAscii(JSON.stringify(value))).toBe(writeJson(value))
        expect(inAscii(writeJson(value))).toBe(writeJson(value))
      }),
    )
  })

  it('writes a frozen value the same the second time', () => {
    fc.assert(
      fc.property(anyValue(4), (value) => {
        const constant = deepFrozen(value)
        const text = escapedBeyondAscii(JSON.stringify([value]))
        expect([writeJson([constant]), writeJson([constant])]).toEqual([text, text])
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
    ['\u2028"\\\u0007é\u{1f600}\u007f', '"\\u2028\\"\\\\\\u0007\\u00e9\\ud83d\\ude00\u007f"'],
    [{ é: ['é'] }, '{"\\u00e9":["\\u00e9"]}'],
    ['\ud800', '"\\ud800"'],
  ])('leaves out what is undefined and escapes what needs it: %j', (value, text) => {
    expect(writeJson(value)).toBe(text)
  })
})

/** Texts of every kind in it: plain ones, and whatever Unicode has. */
function anyValue(maxDepth: number) {
  return fc.jsonValue({
    maxDepth,
    stringUnit: fc.constantFrom('a', '"', '\\', ' ', '’', 'é', '\u{1f600}', '\ud800'),
  })
}

/** Character by character, as RFC 8259 has it. */
function escapedBeyondAscii(json: string): string {
  return Array.from({ length: json.length }, (_, at) => {
    const unit = json.charCodeAt(at)
    return unit > 0x7f ? `\\u${`000${unit.toString(16)}`.slice(-4)}` : json.charAt(at)
  }).join('')
}

function deepFrozen<T>(value: T): T {
  if (typeof value === 'object' && value !== null) {
    for (const inner of Object.values(value)) deepFrozen(inner)
    Object.freeze(value)
  }
  return value
}
