import { describe, expect, it } from 'vitest'
import {
  profileFiles,
  profileJson,
  shippedThresholdSets,
} from '../../../../tests/support/shipped-profiles.ts'
import { readProtocol } from './read-protocol.ts'

const good = profileJson('protocols/fortnight-of-mornings.json') as Readonly<Record<string, unknown>>

describe('reading a protocol file', () => {
  it.each(profileFiles('protocols'))(
    'accepts %s, named by its id, with threshold sets that exist',
    (file) => {
      const read = readProtocol(profileJson(`protocols/${file}`))
      if (!read.ok) throw new TypeError(JSON.stringify(read.issues))
      expect(`${read.value.id}.json`).toBe(file)
      const known = shippedThresholdSets().map(({ id }) => id)
      for (const id of read.value.thresholdSets) expect(known).toContain(id)
    },
  )

  it.each<{ what: string; change: Record<string, unknown>; at: string; expected: string }>([
    { what: 'no title', change: { title: undefined }, at: 'title', expected: 'a text' },
    {
      what: 'an id with spaces',
      change: { id: 'My Rule' },
      at: 'id',
      expected: '2 to 63 lower-case letters, digits and hyphens',
    },
    { what: 'an unknown key', change: { reading: 3 }, at: 'reading', expected: 'no such key' },
    {
      what: 'an evidence of its own',
      change: { evidence: 'sure' },
      at: 'evidence',
      expected: 'one of "read", "reported", "memory", "derived", "common-practice"',
    },
    {
      what: 'no readings',
      change: { readingsPerSitting: { least: 0, asked: 3 } },
      at: 'readingsPerSitting.least',
      expected: 'at least 1',
    },
    {
      what: 'half a reading',
      change: { readingsPerSitting: { least: 2, asked: 2.5 } },
      at: 'readingsPerSitting.asked',
      expected: 'a whole number',
    },
    {
      what: 'fewer readings asked for than the fewest',
      change: { readingsPerSitting: { least: 3, asked: 2 } },
      at: 'readingsPerSitting.asked',
      expected: 'at least as many as "least"',
    },
    { what: 'no windows', change: { sittings: [] }, at: 'sittings', expected: 'at least 1 items' },
    {
      what: 'an hour that does not exist',
      change: window('04:00', '25:00'),
      at: 'sittings[0].to',
      expected: 'a wall-clock time from 00:00 to 24:00',
    },
    {
      what: 'a window past midnight',
      change: window('20:00', '02:00'),
      at: 'sittings[0].to',
      expected: 'an end later than the window’s start, on the same day',
    },
    {
      what: 'a window without length',
      change: window('24:00', '24:00'),
      at: 'sittings[0].to',
      expected: 'an end later than the window’s start, on the same day',
    },
    {
      what: 'windows that overlap',
      change: {
        sittings: [
          { name: 'b', from: '11:00', to: '20:00' },
          { name: 'a', from: '04:00', to: '11:01' },
        ],
      },
      at: 'sittings',
      expected: 'windows that do not overlap',
    },
    {
      what: 'windows of one name',
      change: {
        sittings: [
          { name: 'a', from: '04:00', to: '11:00' },
          { name: 'a', from: '11:00', to: '20:00' },
        ],
      },
      at: 'sittings',
      expected: 'windows with different names',
    },
    {
      what: 'an ideal below the least',
      change: { days: { least: 14, ideal: 7 } },
      at: 'days.ideal',
      expected: 'at least as many days as "least"',
    },
    {
      what: 'every day left out',
      change: { leaveOut: { firstDays: 14, firstReading: 'keep' } },
      at: 'leaveOut.firstDays',
      expected: 'fewer days than "days.least", or nothing is left to average',
    },
    {
      what: 'the only reading dropped',
      change: { readingsPerSitting: { least: 1, asked: 1 } },
      at: 'leaveOut.firstReading',
      expected: '"keep" where a sitting has one reading',
    },
    {
      what: 'a rule for the last reading',
      change: { leaveOut: { firstDays: 0, firstReading: 'last' } },
      at: 'leaveOut.firstReading',
      expected: '"keep", "drop", "drop-unless-alone" or { "dropWhenHigherThanMeanOfOthersByMmHg": a number }',
    },
    {
      what: 'windows averaged in a third way',
      change: { windowsAveraged: 'mixed' },
      at: 'windowsAveraged',
      expected: 'one of "together", "apart"',
    },
    {
      what: 'a partial first day that is neither',
      change: { leaveOut: { firstDays: 1, firstReading: 'keep', partialFirstDay: 'sometimes' } },
      at: 'leaveOut.partialFirstDay',
      expected: 'one of "is-the-first-day", "comes-before-it"',
    },
    {
      what: 'a citation without text',
      change: { citation: { text: '' } },
      at: 'citation.text',
      expected: 'at least 1 characters',
    },
    {
      what: 'a citation whose link is none',
      change: { citation: { text: 'A rule', url: 'here' } },
      at: 'citation.url',
      expected: 'a URL',
    },
  ])('refuses $what at $at', ({ change, at, expected }) => {
    const read = readProtocol({ ...good, ...change })
    expect(read.ok ? [] : read.issues.map((issue) => [issue.code, issue.at, issue.expected])).toEqual([
      ['SETTINGS_REFUSED', at, expected],
    ])
  })

  it('keeps every reading and averages the windows together where a file says nothing of it', () => {
    const read = readProtocol({
      ...good,
      leaveOut: { firstDays: 0, firstReading: 'keep' },
      thresholdSets: [],
    })
    expect(read.ok && read.value).toMatchObject({
      asks: [],
      leaveOut: {
        partialFirstDay: 'is-the-first-day',
        extraReadings: 'keep',
        extraSittings: 'keep',
        zeroDiastolic: 'keep',
      },
      windowsAveraged: 'together',
      thresholdSets: [],
    })
  })

  it('gives every issue at once', () => {
    const read = readProtocol({ ...good, title: 7, colour: 'red', days: { least: 0, ideal: 1 } })
    expect(read.ok ? [] : read.issues.map(({ at }) => at).sort()).toEqual(['colour', 'days.least', 'title'])
  })

  it.each([[null], ['text'], [[]], [42]])('refuses %j as a whole', (json) => {
    const read = readProtocol(json)
    expect(read.ok ? [] : read.issues.map(({ at, expected }) => [at, expected])).toEqual([['', 'an object']])
  })
})

function window(from: string, to: string) {
  return { sittings: [{ name: 'morning', from, to }] }
}
