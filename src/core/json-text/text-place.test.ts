import { describe, expect, it } from 'vitest'
import { textPlaceAt, textPlaceIn } from './text-place.ts'

describe('a place in a text', () => {
  it.each([
    ['{"a":}', 5, 'column 6', { line: 1, column: 6 }],
    ['', 0, 'column 1', { line: 1, column: 1 }],
    ['{\n}', 0, 'line 1, column 1', { line: 1, column: 1 }],
    ['{\n "a":}', 7, 'line 2, column 6', { line: 2, column: 6 }],
  ])('is told in words and known from them: %j', (text, offset, words, place) => {
    expect(textPlaceAt(text, offset)).toBe(words)
    expect(textPlaceIn(words)).toEqual(place)
  })

  it('is not seen in a path', () => {
    expect(textPlaceIn('readings[1].systolic')).toBeUndefined()
    expect(textPlaceIn('the column 7')).toBeUndefined()
  })
})
