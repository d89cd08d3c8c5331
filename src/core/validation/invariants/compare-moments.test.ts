import { expect, it } from 'vitest'
import { compareMoments } from './compare-moments.ts'

it.each([
  ['2026-03-02', '2026-03-03', -1],
  ['2026-03-03', '2026-03-02', 1],
  ['2026-03-02', '2026-03-02', 0],
  ['2026', '2027-01-01', -1],
  ['2026-03', '2026-03-02', undefined],
  ['2026-03-02', '2026-03-02T06:41:00Z', undefined],
  ['2026-03-03', '2026-03-02T06:41:00Z', 1],
  ['2026-03-02T06:41:00-07:00', '2026-03-02T13:41:00Z', 0],
  ['2026-03-02T06:41:00-07:00', '2026-03-02T13:40:59Z', 1],
  ['2026-03-02T06:41:00-07:00', '2026-03-02T99:99:99Z', undefined],
] as const)('%s against %s is %s', (one, other, sign) => {
  const compared = compareMoments(one, other)
  expect(compared === undefined ? undefined : Math.sign(compared)).toBe(sign)
})
