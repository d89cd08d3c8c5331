import { expect, it } from 'vitest'
import { instantInZone } from './instant-in-zone.ts'

it.each([
  ['2026-03-08T08:59:59Z', 'America/Denver', '2026-03-08T01:59:59-07:00'],
  ['2026-03-08T09:00:00Z', 'America/Denver', '2026-03-08T03:00:00-06:00'],
  ['2026-03-02T18:30:00Z', 'Asia/Kolkata', '2026-03-03T00:00:00+05:30'],
  ['2026-03-02T12:00:07Z', 'UTC', '2026-03-02T12:00:07+00:00'],
  ['1969-12-31T23:59:58Z', 'Europe/Paris', '1970-01-01T00:59:58+01:00'],
  ['2026-01-01T00:00:00Z', 'Pacific/Apia', '2026-01-01T13:00:00+13:00'],
])('writes %s in %s as %s, which is the same moment', (utc, zone, local) => {
  expect(instantInZone(Date.parse(utc), zone)).toBe(local)
  expect(Date.parse(local)).toBe(Date.parse(utc))
})
