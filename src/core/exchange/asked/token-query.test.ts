import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { condition, tokenText } from './token-query.ts'

describe('a token to search by', () => {
  it('is the system and the value as they stand, where nothing in them has a meaning of its own', () => {
    expect(tokenText('https://clinic.example/mrn', '4711')).toBe('https://clinic.example/mrn|4711')
    expect(condition('identifier', 'https://clinic.example/mrn', '4711')).toBe(
      'identifier=https://clinic.example/mrn|4711',
    )
  })

  it('is escaped where it has', () => {
    expect(tokenText('urn:x', 'a|b,c$d\\e')).toBe('urn:x|a\\|b\\,c\\$d\\\\e')
  })

  it('is percent-encoded in a condition that would be read as another thing', () => {
    expect(condition('identifier', 'urn:x', 'a&_count=1')).toBe('identifier=urn%3Ax%7Ca%26_count%3D1')
    expect(condition('identifier', 'urn:x', 'Ä 1')).toBe('identifier=urn%3Ax%7C%C3%84%201')
  })

  it('comes out of a query as it went in, and never breaks a header', () => {
    const text = fc.string({ minLength: 1, unit: 'grapheme' })
    fc.assert(
      fc.property(text, text, (system, value) => {
        const query = condition('identifier', system, value)
        expect(query).toMatch(/^[\x21-\x7e]+$/)
        expect([...new URLSearchParams(query)]).toEqual([['identifier', tokenText(system, value)]])
      }),
    )
  })
})
