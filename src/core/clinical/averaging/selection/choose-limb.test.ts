import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers } from '../../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../../tests/support/shipped-profiles.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

const nice = shippedProtocol('nice-ng136-home')
const plan = {
  protocol: { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } },
  zone: 'UTC',
  firstDay: '2026-03-02',
  lastDay: '2026-03-02',
}

describe('the arm that is averaged', () => {
  it.each<{ what: string; left: readonly Numbers[]; right: readonly Numbers[]; arm: string | undefined }>([
    {
      what: 'the one with more readings, though lower',
      left: [
        [120, 80],
        [120, 80],
      ],
      right: [[150, 95]],
      arm: 'left',
    },
    { what: 'the higher systolic on a tie', left: [[120, 90]], right: [[121, 80]], arm: 'right' },
    {
      what: 'the higher diastolic when systolic is equal too',
      left: [[120, 80]],
      right: [[120, 81]],
      arm: 'right',
    },
    { what: 'the left when all is equal', left: [[120, 80]], right: [[120, 80]], arm: 'left' },
    { what: 'the only one measured', left: [], right: [[120, 80]], arm: 'right' },
    {
      what: 'not decided by readings that cannot count',
      left: [[120, 80]],
      right: [
        [150, 80],
        [150, null],
        [150, null],
      ],
      arm: 'right',
    },
    { what: 'none without readings', left: [], right: [], arm: undefined },
  ])('is $what', ({ left, right, arm }) => {
    const placed = placeReadings(plan, [
      homeSitting({ at: '2026-03-02T07:00:00Z', arm: 'left', readings: left }),
      homeSitting({ at: '2026-03-02T07:10:00Z', arm: 'right', readings: right }),
    ])
    expect(selectReadings(plan, placed).arm).toBe(arm)
  })
})

describe('the site that is averaged', () => {
  it('is undefined without readings', () => {
    expect(selectReadings(plan, []).site).toBeUndefined()
  })

  it('is the wrist when the plan names an arm that has nothing but wrist readings', () => {
    const onLeft = { ...plan, arm: 'left' } as const
    const placed = placeReadings(onLeft, [
      homeSitting({ at: '2026-03-02T07:00:00Z', arm: 'left', site: 'wrist', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-02T08:00:00Z', arm: 'right', readings: [[130, 80]] }),
    ])
    const { site, used, leftOut } = selectReadings(onLeft, placed)
    expect([site, used.length, leftOut.map(({ reason }) => reason)]).toEqual(['wrist', 1, ['other-site']])
  })

  it('leaves each limb its own schedule: the second arm of a window is not an extra sitting', () => {
    const { leaveOut } = plan.protocol
    const strict = {
      ...plan,
      protocol: { ...plan.protocol, leaveOut: { ...leaveOut, extraSittings: 'leave-out' } },
      arm: 'right',
    } as const
    const placed = placeReadings(strict, [
      homeSitting({ at: '2026-03-02T07:00:00Z', arm: 'left', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-02T07:10:00Z', arm: 'right', readings: [[130, 80]] }),
    ])
    const { used, leftOut } = selectReadings(strict, placed)
    expect([used.map(({ session }) => session.arm), leftOut.map(({ reason }) => reason)]).toEqual([
      ['right'],
      ['other-arm'],
    ])
  })
})
