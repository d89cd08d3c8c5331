import { describe, expect, it } from 'vitest'
import { profileFiles, profileJson } from '../../../../tests/support/shipped-profiles.ts'
import { readRecordingRule } from './read-recording-rule.ts'

const good = profileJson('recording-rules/chep-2017-recording.json') as Readonly<Record<string, unknown>>

describe('reading a recording-rule file', () => {
  it.each(profileFiles('recording-rules'))('accepts %s, named by its id', (file) => {
    const read = readRecordingRule(profileJson(`recording-rules/${file}`))
    expect(read.ok && `${read.value.id}.json`).toBe(file)
  })

  it.each<{ what: string; change: Record<string, unknown>; at: string; expected: string }>([
    {
      what: 'an hour that does not exist',
      change: { day: { from: '08:00', to: '25:00' } },
      at: 'day.to',
      expected: 'a wall-clock time from 00:00 to 23:59',
    },
    {
      what: 'a share in per cent',
      change: { valid: { leastShareOfAttempts: 70 } },
      at: 'valid.leastShareOfAttempts',
      expected: 'at most 1',
    },
    {
      what: 'a mean nobody works out',
      change: { averaged: ['lunch'] },
      at: 'averaged[0]',
      expected: 'one of "24-hours", "day", "night"',
    },
    { what: 'no mean at all', change: { averaged: [] }, at: 'averaged', expected: 'at least 1 items' },
    {
      what: 'an unknown key among the conditions',
      change: { valid: { leastEveningReadings: 3 } },
      at: 'valid.leastEveningReadings',
      expected: 'no such key',
    },
  ])('refuses $what at $at', ({ change, at, expected }) => {
    const read = readRecordingRule({ ...good, ...change })
    expect(read.ok ? [] : read.issues.map((issue) => [issue.code, issue.at, issue.expected])).toEqual([
      ['SETTINGS_REFUSED', at, expected],
    ])
  })

  it('names the file that must be corrected in its remedies', () => {
    const read = readRecordingRule({ ...good, title: undefined })
    expect(read.ok ? [] : read.issues.map(({ at, remedy }) => [at, remedy])).toEqual([
      ['title', 'Correct it in the recording-rule file and start again.'],
    ])
  })
})
