import { describe, expect, it } from 'vitest'
import { placeText } from './place-text.ts'

describe('a place', () => {
  it.each([
    [[], ''],
    [['takenAt'], 'takenAt'],
    [['readings', 1, 'systolic'], 'readings[1].systolic'],
    [[0, 'readings', 10], '[0].readings[10]'],
    [['conditions', 'two words'], 'conditions["two words"]'],
    [['a"b'], '["a\\"b"]'],
    [['line\nfeed\u2028\u202e'], '["line?feed??"]'],
    [['k'.repeat(61)], 'k'.repeat(60)],
    [[`${'k'.repeat(59)}\u{1fa7a}`], `["${'k'.repeat(59)}?"]`],
  ])('of %j is written %s', (path, text) => {
    expect(placeText(path)).toBe(text)
  })
})
