/**
 * RFC 9110, HTTP Semantics (June 2022): section 10.2.3 (Retry-After, with its two examples) and section 5.6.7
 * (the three date forms, with their examples, and the rule for two-digit years).
 */
import { describe, expect, it } from 'vitest'
import { retryAfterMs } from '../../src/core/exchange/answered/retry-after.ts'

const noCap = Number.MAX_SAFE_INTEGER
const hour = 3_600_000

describe('Retry-After', () => {
  it('waits the seconds of the example "120"', () => {
    expect(retryAfterMs('120', 0, noCap)).toBe(120_000)
  })

  it('waits until the date of the example "Fri, 31 Dec 1999 23:59:59 GMT"', () => {
    const now = Date.parse('1999-12-31T23:00:00Z')
    expect(retryAfterMs('Fri, 31 Dec 1999 23:59:59 GMT', now, noCap)).toBe(3_599_000)
  })

  it.each([
    ['IMF-fixdate', 'Sun, 06 Nov 1994 08:49:37 GMT'],
    ['the obsolete RFC 850 form', 'Sunday, 06-Nov-94 08:49:37 GMT'],
    ['the obsolete asctime form', 'Sun Nov  6 08:49:37 1994'],
  ])('reads the example date of %s as the same second', (_, text) => {
    expect(retryAfterMs(text, Date.parse('1994-11-06T07:49:37Z'), noCap)).toBe(hour)
  })

  it('takes a two-digit year that seems more than 50 years ahead for a past one', () => {
    const now = Date.parse('2026-03-01T00:00:00Z')
    expect(retryAfterMs('Sunday, 06-Nov-94 08:49:37 GMT', now, noCap)).toBe(0)
    expect(retryAfterMs('Sunday, 01-Mar-26 01:00:00 GMT', now, noCap)).toBe(hour)
  })

  it('does not wait for a date that has passed', () => {
    expect(retryAfterMs('Fri, 31 Dec 1999 23:59:59 GMT', Date.parse('2026-01-01T00:00:00Z'), noCap)).toBe(0)
  })

  it('never waits longer than the cap', () => {
    expect(retryAfterMs('99999999999999999999', 0, hour)).toBe(hour)
    expect(retryAfterMs('Fri, 31 Dec 2999 23:59:59 GMT', 0, hour)).toBe(hour)
  })

  it.each([
    '',
    'soon',
    '-1',
    '1.5',
    '1e3',
    '0x10',
    '12, 13',
    'Fri, 31 Dec 1999 23:59:59 CET',
    'Fri, 31 Dec 1999 24:59:59 GMT',
    'Tue, 30 Feb 1999 23:59:59 GMT',
    '1999-12-31T23:59:59Z',
  ])('has no wish in %j', (text) => {
    expect(retryAfterMs(text, 0, noCap)).toBeUndefined()
  })
})
