import fc from 'fast-check'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { ucumVerdict } from './ucum-verdict.ts'

describe('a unit', () => {
  it.each([
    'mm[Hg]',
    '/min',
    '{beats}/min',
    '{#}',
    '1',
    'dyn/cm2',
    '10*3/uL',
    'mm[Hg]{systolic}',
    'kg.m/s2',
    '/(24.h)',
  ])('of UCUM is valid: %s', (code) => {
    expect(ucumVerdict(code)).toBe('valid')
  })

  it.each([
    'mmHg',
    'MM[HG]',
    'mm Hg',
    '',
    '#',
    'bpm',
    'lbs',
    '°C',
    'µm',
    'm/',
    '(m',
    '()',
    'm{',
    '{a}m',
    'meter',
    '2m',
    '(m/s)2',
  ])('that only looks like one is invalid: "%s"', (code) => {
    expect(ucumVerdict(code)).toBe('invalid')
  })

  it.each(['constructor', 'm/toString', 'kvalueOf', '__proto__', 'parens_placeholder0'])(
    'is not what the library mistakes for one: %s',
    (code) => {
      expect(ucumVerdict(code)).toBe('invalid')
    },
  )

  it('may say anything within an annotation', () => {
    expect(ucumVerdict('m{constructor}')).toBe('valid')
    expect(ucumVerdict('m{two words}')).toBe('valid')
    expect(ucumVerdict('m{größer}')).toBe('invalid')
  })
})

describe('hostile codes', () => {
  afterEach(() => {
    vi.restoreAllMocks()
  })

  it('are not judged beyond 128 characters', () => {
    expect(ucumVerdict('m'.repeat(129))).toBe('unjudged')
    expect(ucumVerdict('x'.repeat(1_000_000))).toBe('unjudged')
  })

  it('are answered, and nothing is printed', () => {
    const print = vi.spyOn(console, 'log')
    const part = fc.constantFrom(...'( ) / . { } [ ] m g 2 10* 10^ mm[Hg] + - k {a} s % u'.split(' '))
    const code = fc.array(part, { maxLength: 12 }).map((parts) => parts.join(''))
    fc.assert(
      fc.property(fc.oneof(code, fc.string()), (text) => {
        expect(['valid', 'invalid', 'unjudged']).toContain(ucumVerdict(text))
      }),
      { numRuns: 20_000 },
    )
    expect(print).not.toHaveBeenCalled()
  })
})
