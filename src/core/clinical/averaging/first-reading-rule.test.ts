import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers } from '../../../../tests/support/home-sitting.ts'
import { leavesFirstOut } from './first-reading-rule.ts'

const byTen = { dropWhenHigherThanMeanOfOthersByMmHg: 10 }

describe('the first reading of a sitting', () => {
  it.each<{
    what: string
    rule: Parameters<typeof leavesFirstOut>[0]
    readings: readonly Numbers[]
    out: boolean
  }>([
    {
      what: 'stays under keep',
      rule: 'keep',
      readings: [
        [180, 80],
        [120, 80],
      ],
      out: false,
    },
    {
      what: 'goes under drop',
      rule: 'drop',
      readings: [
        [120, 80],
        [120, 80],
      ],
      out: true,
    },
    { what: 'goes under drop even when alone', rule: 'drop', readings: [[120, 80]], out: true },
    {
      what: 'stays at exactly 10 above a mean with a fraction',
      rule: byTen,
      readings: [
        [140.5, 80],
        [130, 80],
        [131, 80],
      ],
      out: false,
    },
    {
      what: 'goes a tenth further',
      rule: byTen,
      readings: [
        [140.6, 80],
        [130, 80],
        [131, 80],
      ],
      out: true,
    },
    {
      what: 'goes a third of a mmHg above 10',
      rule: byTen,
      readings: [
        [141, 80],
        [130, 80],
        [131, 80],
        [131, 80],
      ],
      out: true,
    },
    {
      what: 'stays when lower than the others',
      rule: byTen,
      readings: [
        [110, 80],
        [130, 80],
      ],
      out: false,
    },
    { what: 'stays when alone', rule: byTen, readings: [[180, 80]], out: false },
    {
      what: 'stays when the others are incomplete',
      rule: byTen,
      readings: [
        [180, 80],
        [120, null],
      ],
      out: false,
    },
    {
      what: 'is compared without incomplete others',
      rule: byTen,
      readings: [
        [141, 80],
        [100, null],
        [131, 80],
      ],
      out: false,
    },
    {
      what: 'is the first place, so none when that is missing',
      rule: byTen,
      readings: [
        [null, 80],
        [160, 80],
        [120, 80],
      ],
      out: false,
    },
  ])('$what', ({ rule, readings, out }) => {
    expect(leavesFirstOut(rule, homeSitting({ at: '2026-03-02T07:00:00Z', readings }).session)).toBe(out)
  })

  it('is compared exactly in kPa: 1.333 above is not more than 10 mmHg, 1.334 is', () => {
    // 10 mmHg = 1.33322 kPa. Source: UCUM, m[Hg] = 133.3220 kPa.
    const sitting = (first: number) =>
      homeSitting({
        at: '2026-03-02T07:00:00Z',
        unit: 'kPa',
        readings: [
          [first, 10],
          [16, 10],
        ],
      }).session
    expect(leavesFirstOut(byTen, sitting(17.333))).toBe(false)
    expect(leavesFirstOut(byTen, sitting(17.334))).toBe(true)
  })
})
