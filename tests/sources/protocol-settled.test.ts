// What published home schedules leave open, and what our files settle in words. No source read or reported says which
// hours a window has, what becomes of a partial first day, of one reading, of more than were asked for, of two sittings
// in one window or of missed days; few state a least count; none says how sittings of unequal size weigh, except JSH
// 2019, whose occasion counts by its mean.
import { describe, expect, it } from 'vitest'
import { shippedProtocols } from '../support/shipped-profiles.ts'

describe('what the shipped protocols say of themselves', () => {
  it.each(shippedProtocols())(
    '$id: its title says so exactly when it is from memory',
    ({ title, evidence }) => {
      expect(title.endsWith('(from memory, unverified)')).toBe(evidence === 'memory')
    },
  )

  // No source settles these: hours, partial first day, unusual sittings, missed days, least count, unequal sittings.
  it.each([
    ['the hours of the windows', /split at noon|04:00 to 12:00/],
    ['a partial first day', /evening start|begins in the evening/],
    [
      'a sitting of one reading',
      /one reading|only one|accepts one|one is held as the fewest|do with one, or/,
    ],
    [
      'more readings than asked for',
      /more readings|more than (?:two|three)|do with more|beyond three|at least two readings/i,
    ],
    ['two sittings in a window', /two sittings in one (window|morning)/],
    ['missed days', /missed (days|mornings)/],
    ['the least count', /minimum count|least count|at least 12 readings|no fewer as a minimum/],
    ['unequal sittings', /sittings are unequal/],
    ['whose days they are', /time zone of the patient/],
  ])('every file settles %s', (_what, words) => {
    for (const { id, settledHere } of shippedProtocols()) expect(settledHere.join(' '), id).toMatch(words)
  })

  it.each(shippedProtocols())('$id: its windows have the hours that it says', ({ settledHere, sittings }) => {
    const words = settledHere.join(' ')
    const [morning, evening] = sittings.map(({ from, to }) => `${from} to ${to}`)
    if (words.includes('the local day is split at noon'))
      expect([morning, evening]).toEqual(['00:00 to 12:00', '12:00 to 24:00'])
    else {
      expect(words.toLowerCase()).toContain(`the morning is ${morning}`)
      if (evening !== undefined)
        expect([evening, words]).toEqual([
          '12:00 to 24:00',
          expect.stringContaining('the evening 12:00 to midnight'),
        ])
    }
  })

  it('every file with bands settles what lies between two whole numbers', () => {
    for (const { id, settledHere, thresholdSets } of shippedProtocols()) {
      if (thresholdSets.length > 0) expect(settledHere.join(' '), id).toContain('unrounded mean')
    }
  })

  it('say that at least 3 days, the first left out and 12 readings cannot all be met', () => {
    for (const { id, days, leaveOut, leastReadings, settledHere } of shippedProtocols()) {
      const cannot =
        (days.least - leaveOut.firstDays) * 4 < (leastReadings ?? 0) && leaveOut.firstReading === 'keep'
      expect(settledHere.join(' ').includes('cannot all be met'), id).toBe(cannot)
    }
  })
})
