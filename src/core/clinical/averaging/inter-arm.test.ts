import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { roundedMmHg } from '../../basics/exact-mean.ts'
import { averagePeriod } from './average-period.ts'
import { INTER_ARM_LIMIT_MMHG, INTER_ARM_REPEAT_LIMIT_MMHG } from './inter-arm.ts'

describe('the difference between arms', () => {
  it.each<{ left: [number, number]; right: [number, number]; above: boolean; repeat: boolean }>([
    { left: [150, 80], right: [135, 80], above: false, repeat: false },
    { left: [150, 80], right: [134, 80], above: false, repeat: true },
    { left: [150, 80], right: [130, 80], above: false, repeat: true },
    { left: [130, 80], right: [151, 80], above: true, repeat: true },
    { left: [150, 101], right: [150, 80], above: true, repeat: true },
  ])('of $left and $right: above 20 is $above, above 15 is $repeat', ({ left, right, above, repeat }) => {
    const found = interArmOf([morning(3, 'left', [left]), morning(3, 'right', [right])])
    expect([found?.aboveLimit, found?.aboveRepeatLimit]).toEqual([above, repeat])
    expect(found && roundedMmHg(found.systolic, 1)).toBe(left[0] - right[0])
    expect(found && roundedMmHg(found.diastolic, 1)).toBe(left[1] - right[1])
  })

  it('weighs each sitting the same', () => {
    const found = interArmOf([
      morning(3, 'left', [
        [160, 80],
        [160, 80],
        [160, 80],
      ]),
      morning(4, 'left', [[140, 80]]),
      morning(3, 'right', [[140, 80]]),
    ])
    expect(found && roundedMmHg(found.systolic, 6)).toBe(10)
    expect([found?.leftReadings, found?.rightReadings]).toEqual([4, 1])
  })

  it('is kept when the other arm was measured on the first day only', () => {
    const found = interArmOf([
      morning(2, 'left', [[150, 90]]),
      morning(2, 'right', [[120, 80]]),
      morning(3, 'left', [[150, 90]]),
    ])
    expect(found?.aboveLimit).toBe(true)
  })

  it('does not exist for one arm, nor from readings at the clinic or the wrist', () => {
    const left = morning(3, 'left', [[150, 90]])
    expect(interArmOf([left])).toBeUndefined()
    expect(interArmOf([left, { ...morning(3, 'right', [[120, 80]]), setting: 'clinic' }])).toBeUndefined()
    expect(interArmOf([left, { ...morning(3, 'right', [[120, 80]]), site: 'wrist' }])).toBeUndefined()
  })

  it('states its limits', () => {
    expect([INTER_ARM_LIMIT_MMHG, INTER_ARM_REPEAT_LIMIT_MMHG]).toEqual([20, 15])
  })
})

function morning(day: number, arm: 'left' | 'right', readings: SittingParts['readings']): SittingParts {
  const at = `2026-03-0${day}T07:${arm === 'left' ? '00' : '10'}:00Z`
  return { at, arm, readings }
}

function interArmOf(parts: readonly SittingParts[]) {
  const protocol = shippedProtocol('nice-ng136-home')
  const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
  // The day before, so that the first-day rule has a day of its own.
  const dayBefore: SittingParts = { at: '2026-03-02T06:00:00Z', readings: [[150, null]] }
  return averagePeriod(plan, [dayBefore, ...parts].map(homeSitting), []).interArm
}
