import { describe, expect, it } from 'vitest'
import { homeSitting, techniqueFinding } from '../../../../../tests/support/home-sitting.ts'
import { keepAll, weekOf } from '../../../../../tests/support/select-sittings.ts'
import { shippedProtocol } from '../../../../../tests/support/shipped-profiles.ts'
import type { Protocol } from '../../protocol/protocol.ts'
import type { PeriodPlan } from '../period-average.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

const nice = shippedProtocol('nice-ng136-home')

describe('what was withdrawn', () => {
  it('is left out before all else, and begins no day of measuring', () => {
    const plan = weekOf(nice)
    const placed = placeReadings(plan, [
      { ...homeSitting({ at: '2026-02-01T07:00:00Z', readings: [[130, null]] }), withdrawn: true },
      { ...homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }), withdrawn: true },
      homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-04T07:00:00Z', readings: [[130, 80]] }),
    ])
    const { leftOut } = selectReadings(plan, placed)
    expect(leftOut.map(({ reason }) => reason)).toEqual(['withdrawn', 'withdrawn', 'first-day'])
    expect(leftOut[0]?.text).toMatch(/^Taken back by its source\./)
  })
})

describe('what the clinic’s policy excludes', () => {
  it('is left out with the findings in words, as this clinic’s own choice', () => {
    const plan: PeriodPlan = {
      ...weekOf(keepAll),
      policy: { talking: 'exclude', 'cuff-below-heart': 'exclude' },
    }
    const findings = [techniqueFinding(1), { ...techniqueFinding(), code: 'cuff-below-heart' } as const]
    const placed = placeReadings(plan, [
      homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[130, 80]], findings }),
    ])
    expect(selectReadings(plan, placed).leftOut.map(({ reason, text }) => [reason, text])).toEqual([
      [
        'excluded-by-policy',
        'Left out for what was noticed about it: talking, cuff below heart. This is this clinic’s own policy; published protocols average such readings.',
      ],
    ])
  })

  it('takes no place among the readings asked for', () => {
    const two: Protocol = { ...keepAll, leaveOut: { ...keepAll.leaveOut, extraReadings: 'leave-out' } }
    const plan: PeriodPlan = { ...weekOf(two), policy: { talking: 'exclude' } }
    const placed = placeReadings(plan, [
      homeSitting({
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
          [130, 80],
        ],
        findings: [techniqueFinding(1)],
      }),
    ])
    expect(selectReadings(plan, placed).used.map(({ reading }) => reading.ordinal)).toEqual([2, 3])
  })
})
