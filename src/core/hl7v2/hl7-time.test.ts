import { describe, expect, it } from 'vitest'
import { hl7Time } from './hl7-time.ts'

describe('hl7Time', () => {
  it.each([
    ['2026-11-24T21:30:05+01:00', '20261124213005+0100'],
    ['2026-03-02T06:41:00-07:00', '20260302064100-0700'],
    ['2026-03-09T08:00:00Z', '20260309080000+0000'],
    ['2026-03-09T08:00:00.25+05:45', '20260309080000.25+0545'],
    ['2026-03-09T23:59:59.999999999Z', '20260309235959.9999+0000'],
    ['2026-03-09', '20260309'],
    ['2026-03', '202603'],
    ['2026', '2026'],
  ])('writes %s as %s', (text, written) => {
    expect(hl7Time(text)).toBe(written)
  })

  it.each(['', '2026-03-09T08:00:00', '2026-03-09T08:00Z', '2026-03T08:00:00Z', '9 March'])(
    'refuses what FHIR could not read: %j',
    (text) => {
      expect(() => hl7Time(text)).toThrow(TypeError)
    },
  )
})
