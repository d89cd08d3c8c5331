import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers, techniqueFinding } from '../../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../../tests/support/shipped-profiles.ts'
import type { FindingPolicy } from '../../finding-policy.ts'
import type { Protocol } from '../../protocol/protocol.ts'
import type { CheckedSession } from '../period-average.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

type Rule = Protocol['leaveOut']['firstReading']

const nice = shippedProtocol('nice-ng136-home')
const byTen = { dropWhenHigherThanMeanOfOthersByMmHg: 10 }

describe('the first reading of a sitting', () => {
  it.each<{
    what: string
    rule: Rule
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
      what: 'goes under drop-unless-alone beside another',
      rule: 'drop-unless-alone',
      readings: [
        [120, 80],
        [130, 80],
      ],
      out: true,
    },
    {
      what: 'stays under drop-unless-alone when alone',
      rule: 'drop-unless-alone',
      readings: [[120, 80]],
      out: false,
    },
    {
      what: 'stays under drop-unless-alone beside an incomplete one',
      rule: 'drop-unless-alone',
      readings: [
        [120, 80],
        [null, 80],
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
    expect(leavesFirstOut(rule, homeSitting({ at: '2026-03-02T07:00:00Z', readings }))).toBe(out)
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
      })
    expect(leavesFirstOut(byTen, sitting(17.333))).toBe(false)
    expect(leavesFirstOut(byTen, sitting(17.334))).toBe(true)
  })

  it('stays when the clinic’s policy leaves out the others: it is alone then', () => {
    const sitting = homeSitting({
      at: '2026-03-02T07:00:00Z',
      readings: [
        [180, 80],
        [120, 80],
      ],
      findings: [techniqueFinding(2)],
    })
    expect(leavesFirstOut('drop-unless-alone', sitting)).toBe(true)
    expect(leavesFirstOut('drop-unless-alone', sitting, { talking: 'exclude' })).toBe(false)
    expect(leavesFirstOut(byTen, sitting, { talking: 'exclude' })).toBe(false)
  })
})

function leavesFirstOut(firstReading: Rule, sitting: CheckedSession, policy: FindingPolicy = {}): boolean {
  const plan = {
    protocol: { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0, firstReading } },
    zone: 'UTC',
    firstDay: '2026-03-02',
    lastDay: '2026-03-02',
    policy,
  }
  const { leftOut } = selectReadings(plan, placeReadings(plan, [sitting]))
  return leftOut.some(({ reason }) => reason === 'first-reading')
}
