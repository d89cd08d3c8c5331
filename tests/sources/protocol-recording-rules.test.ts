// Rules for 24-hour recordings. CHEP 2017, table on ambulatory monitoring: valid with at least 70 % of readings, at
// least 20 by day and 7 by night; fixed hours 08:00 to 22:00 without a diary. NICE NG136: the average of at least 14
// readings of waking hours; no fixed hours are stated.
import { describe, expect, it } from 'vitest'
import { shippedRecordingRules } from '../support/shipped-profiles.ts'

describe('the shipped rules for 24-hour recordings', () => {
  const [chep, nice, ...others] = shippedRecordingRules()

  it('are those of CHEP 2017 and of NICE NG136, both read', () => {
    expect([chep?.id, nice?.id]).toEqual(['chep-2017-recording', 'nice-ng136-recording'])
    expect([chep?.evidence, nice?.evidence]).toEqual(['read', 'read'])
    expect(others).toEqual([])
  })

  it('ask under CHEP for 70 % of attempts, 20 readings by day and 7 by night, with all three means', () => {
    expect(chep).toMatchObject({
      day: { from: '08:00', to: '22:00' },
      valid: { leastShareOfAttempts: 0.7, leastDayReadings: 20, leastNightReadings: 7 },
      averaged: ['24-hours', 'day', 'night'],
    })
  })

  it('ask under NICE for 14 readings by day and nothing else, with the mean of the day alone', () => {
    expect(nice?.valid).toEqual({ leastDayReadings: 14 })
    expect(nice?.averaged).toEqual(['day'])
    expect(nice?.thresholdSets).toEqual(['nice-ng136-ambulatory-day'])
    expect(nice?.settledHere.join(' ')).toContain('states no fixed ones')
  })

  it('say where CHEP’s bounds come from', () => {
    expect(chep?.thresholdSets).toEqual([
      'ksh-2013-ambulatory-24-hours',
      'ksh-2013-ambulatory-day',
      'ksh-2013-ambulatory-night',
    ])
    expect(chep?.settledHere.join(' ')).toContain('KSH 2013, table 6')
  })
})
