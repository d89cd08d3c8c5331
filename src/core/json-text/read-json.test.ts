import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import type { ErrorCode } from '../basics/error-codes.ts'
import { DEFAULT_JSON_LIMITS, readJson } from './read-json.ts'

const read = (text: string) => readJson(text, DEFAULT_JSON_LIMITS)

function refusal(text: string): readonly string[] {
  const result = read(text)
  return result.ok ? [] : result.issues.map(({ code, at, expected }) => `${code} at ${at}: ${expected}`)
}

describe('reading JSON', () => {
  it('returns what JSON.parse returns, for any JSON', () => {
    fc.assert(
      fc.property(fc.json(), fc.constantFrom('', '\ufeff', ' \r\n\t'), (text, before) => {
        fc.pre(!/__proto__|constructor|prototype/.test(text))
        expect(read(before + text)).toEqual({ ok: true, value: JSON.parse(text) })
      }),
    )
  })

  it('is not misled by colons, brackets and quotes inside strings', () => {
    const value = { 'a:b"{': ['x:y', '\\', '\\"', '}]:', ''], 'c\\': { d: ':' } }
    expect(read(JSON.stringify(value))).toEqual({ ok: true, value })
    expect(read(JSON.stringify(value, null, 2).replaceAll(':', ' :'))).toMatchObject({ ok: true })
  })

  it('reads a key that only contains a dangerous word, and a dangerous word as a value', () => {
    const value = { constructors: 1, __proto: 2, prototype1: 3, note: '__proto__ constructor prototype' }
    expect(read(JSON.stringify(value))).toEqual({ ok: true, value })
  })

  it('reads the same key in different objects', () => {
    expect(read('[{"a":1},{"a":2,"b":{"a":3}}]')).toMatchObject({ ok: true })
  })
})

describe('a text that is not JSON', () => {
  it.each([
    ['', 'column 1: a JSON value'],
    ['  \n ', 'line 2, column 2: a JSON value'],
    ['\ufeff', 'column 1: a JSON value'],
    ['id,systolic', 'column 1: a JSON value'],
    ['{"a":1', 'column 7: a comma or }'],
    ['{"a":1,}', 'column 8: a key in double quotes'],
    ['{"a" 1}', 'column 6: a colon'],
    ['{a:1}', 'column 2: a key in double quotes or }'],
    ["{'a':1}", 'column 2: a key in double quotes or }'],
    ['{"a":}', 'column 6: a JSON value'],
    ['{\n  "a": 1\n  "b": 2\n}', 'line 3, column 3: a comma or }'],
    ['{\r\n"a": tru\r\n}', 'line 2, column 6: a JSON value'],
    ['[1 2]', 'column 4: a comma or ]'],
    ['[1,]', 'column 4: a JSON value'],
    ['[', 'column 2: a JSON value or ]'],
    ['[}', 'column 2: a JSON value or ]'],
    ['{]', 'column 2: a key in double quotes or }'],
    ['{"a":1}{"a":2}', 'column 8: the end of the text'],
    ['{"a":01}', 'column 7: a comma or }'],
    ['{"a":+1}', 'column 6: a JSON value'],
    ['{"a":.5}', 'column 6: a JSON value'],
    ['{"a":1.}', 'column 7: a comma or }'],
    ['{"a":0x50}', 'column 7: a comma or }'],
    ['{"a":128,5}', 'column 10: a key in double quotes'],
    ['{"a":NaN}', 'column 6: a JSON value'],
    ['{"a":undefined}', 'column 6: a JSON value'],
    ['{"a":"x}', 'column 9: a closing double quote'],
    ['{"a":"x\ny"}', 'line 1, column 8: control characters in a string written as escapes'],
    ['{"a":"\\x41"}', 'column 7: an escape that JSON knows'],
    ['{"a":"\\u12g4"}', 'column 7: an escape that JSON knows'],
    ['{"a":1} // note', 'column 9: the end of the text'],
    ['\u00a0{}', 'column 1: a JSON value'],
  ])('is refused with the place: %j', (text, told) => {
    expect(refusal(text)).toEqual([`NOT_JSON at ${told}`])
  })

  it('is not quoted', () => {
    const result = read('{"note":"CANARY" CANARY: 141}')
    expect(result.ok).toBe(false)
    expect(JSON.stringify(result)).not.toMatch(/CANARY|141/)
  })
})

describe('nesting', () => {
  const arrays = (depth: number) => `${'['.repeat(depth)}${']'.repeat(depth)}`
  const objects = (depth: number) => `${'{"a":'.repeat(depth)}1${'}'.repeat(depth)}`

  it.each([arrays, objects])('is read to 32 levels, and refused beyond', (nested) => {
    expect(read(nested(32)).ok).toBe(true)
    expect(refusal(nested(33))).toEqual(['TOO_DEEP at : objects and arrays nested at most 32 deep'])
  })

  it('is refused before a hostile text is parsed, closed or not', () => {
    expect(refusal('['.repeat(1_000_000))[0]).toMatch(/^TOO_DEEP/)
    expect(refusal('{"a":'.repeat(200_000))[0]).toMatch(/^TOO_DEEP/)
  })

  it('counts what is open at once, not how many there are', () => {
    expect(read(`[${Array.from({ length: 500 }, () => '[{}]').join()}]`).ok).toBe(true)
    expect(read(JSON.stringify('['.repeat(100))).ok).toBe(true)
  })

  it('has the limit it is given', () => {
    expect(readJson('[[1]]', { maxDepth: 1 })).toMatchObject({ ok: false, issues: [{ code: 'TOO_DEEP' }] })
  })
})

describe('a key', () => {
  const refused: readonly (readonly [what: string, text: string, code: ErrorCode, at: string])[] = [
    ['twice in the record', '{"id":1,"id":2}', 'DUPLICATE_KEY', 'id'],
    ['twice with the same value', '{"id":1,"id":1}', 'DUPLICATE_KEY', 'id'],
    [
      'twice deep inside',
      '{"readings":[{},{"systolic":1,"systolic":2}]}',
      'DUPLICATE_KEY',
      'readings[1].systolic',
    ],
    ['twice, once as an escape', '{"arm":1,"\\u0061rm":2}', 'DUPLICATE_KEY', 'arm'],
    ['twice with white space', '{"a" : 1, "b" :2, "a"\n:\t3}', 'DUPLICATE_KEY', 'a'],
    ['twice with an object that is lost', '{"a":{"b":1,"c":2},"a":1}', 'DUPLICATE_KEY', 'a'],
    ['twice and empty', '{"":1,"":2}', 'DUPLICATE_KEY', '[""]'],
    ['twice and a number', '{"1":1,"1":2}', 'DUPLICATE_KEY', '["1"]'],
    ['__proto__', '{"__proto__":{"a":1}}', 'DANGEROUS_KEY', '__proto__'],
    ['__proto__ as escapes', '{"\\u005f_proto__":1}', 'DANGEROUS_KEY', '__proto__'],
    ['constructor deep inside', '[{"a":{"constructor":1}}]', 'DANGEROUS_KEY', '[0].a.constructor'],
    ['prototype', '{"prototype":null}', 'DANGEROUS_KEY', 'prototype'],
  ]
  it.each(refused)('that comes %s is refused there', (_what, text, code, at) => {
    const result = read(text)
    expect(result).toMatchObject({ ok: false, issues: [{ code, at }] })
  })

  it('that is wrong is told for each place, twenty at most', () => {
    const object = '{"a":1,"a":2,"__proto__":3}'
    expect(refusal(`[${object},${object}]`).map((told) => told.split(':')[0])).toEqual([
      'DUPLICATE_KEY at [0].a',
      'DANGEROUS_KEY at [0].__proto__',
      'DUPLICATE_KEY at [1].a',
      'DANGEROUS_KEY at [1].__proto__',
    ])
    expect(refusal(`[${Array.from({ length: 50 }, () => object).join()}]`)).toHaveLength(20)
  })

  it('that comes twice is found in any object of any JSON', () => {
    const text = fc.tuple(fc.json({ maxDepth: 4 }), fc.string(), fc.json()).map(([value, key, other]) => {
      const name = JSON.stringify(key)
      return `{"before":${other},"in":[{${name}:${value},"between":${other},${name}:1}]}`
    })
    fc.assert(
      fc.property(text, (json) => {
        const result = read(json)
        expect(!result.ok && result.issues.some(({ code }) => /^(DUPLICATE|DANGEROUS)_KEY$/.test(code))).toBe(
          true,
        )
      }),
    )
  })
})
