import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { chooseArm, chooseSite } from './choose-arm.ts'
import { placeReadings } from './place-readings.ts'

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
    { what: 'none without readings', left: [], right: [], arm: undefined },
  ])('is $what', ({ left, right, arm }) => {
    expect(chooseArm([...placed('left', left), ...placed('right', right)])).toBe(arm)
  })
})

describe('the site that is averaged', () => {
  it('is undefined without readings', () => {
    expect(chooseSite([])).toBeUndefined()
  })
})

function placed(arm: 'left' | 'right', readings: readonly Numbers[]) {
  const plan = {
    protocol: shippedProtocol('nice-ng136-home'),
    zone: 'UTC',
    firstDay: '2026-03-02',
    lastDay: '2026-03-02',
  }
  return placeReadings(plan, [homeSitting({ at: '2026-03-02T07:00:00Z', arm, readings })])
}
