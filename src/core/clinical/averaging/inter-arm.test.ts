import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import { roundedMmHg } from '../../basics/exact-mean.ts'
import { averagePeriod } from './average-period.ts'

describe('the difference between arms', () => {
  it.each<{ left: [number, number]; right: [number, number]; above: string[] }>([
    { left: [140, 80], right: [130, 80], above: [] },
    { left: [140.1, 80], right: [130, 80], above: [...over10(), 'hypertension-canada-arms 10'] },
    { left: [140, 91], right: [140, 80], above: over10() },
    { left: [150, 80], right: [135, 80], above: [...over10(), 'hypertension-canada-arms 10'] },
    {
      left: [150, 80],
      right: [134, 80],
      above: [...over10(), 'hypertension-canada-arms 10', ...over15()],
    },
    {
      left: [150, 80],
      right: [130, 80],
      above: [...over10(), 'hypertension-canada-arms 10', ...over15()],
    },
    {
      left: [130, 80],
      right: [151, 80],
      above: [...over10(), 'hypertension-canada-arms 10', ...over15(), ...over20()],
    },
  ])('of $left and $right is above $above', ({ left, right, above }) => {
    const found = interArmOf([morning(3, 'left', [left]), morning(3, 'right', [right])])
    const exceeded = found?.limits.filter((limit) => limit.above) ?? []
    expect(exceeded.map(({ citation, limitMmHg }) => `${citation} ${limitMmHg}`).toSorted()).toEqual(
      above.toSorted(),
    )
    expect(found && roundedMmHg(found.systolic, 1)).toBeCloseTo(left[0] - right[0], 6)
    expect(found && roundedMmHg(found.diastolic, 1)).toBe(left[1] - right[1])
  })

  it('is the mean of the differences within pairs, so a rise from day to day does not look like one', () => {
    const found = interArmOf([
      morning(3, 'left', [[150, 90]]),
      morning(3, 'right', [[146, 88]]),
      morning(4, 'left', [[130, 80]]),
      morning(4, 'right', [[124, 80]]),
      morning(5, 'left', [[180, 99]]),
    ])
    expect(found).toMatchObject({ basis: 'paired', pairs: 2, leftReadings: 2, rightReadings: 2 })
    expect(found && roundedMmHg(found.systolic, 6)).toBe(5)
    expect(found && roundedMmHg(found.diastolic, 6)).toBe(1)
  })

  it('gives each sitting of a pair one mean, however many readings it has', () => {
    const found = interArmOf([
      morning(3, 'left', [
        [160, 80],
        [150, 80],
        [140, 80],
      ]),
      morning(3, 'right', [[140, 80]]),
    ])
    expect(found && roundedMmHg(found.systolic, 6)).toBe(10)
    expect([found?.leftReadings, found?.rightReadings]).toEqual([3, 1])
  })

  it('pairs a second sitting on each arm with the second on the other', () => {
    const found = interArmOf([
      morning(3, 'left', [[150, 80]]),
      morning(3, 'right', [[140, 80]]),
      { ...morning(3, 'left', [[130, 80]]), at: '2026-03-03T08:00:00Z' },
      { ...morning(3, 'right', [[128, 80]]), at: '2026-03-03T08:10:00Z' },
    ])
    expect(found?.pairs).toBe(2)
    expect(found && roundedMmHg(found.systolic, 6)).toBe(6)
  })

  it('falls back on the means of the arms when no window of a day has both, each sitting weighing the same', () => {
    const found = interArmOf([
      morning(3, 'left', [
        [160, 80],
        [160, 80],
        [160, 80],
      ]),
      morning(4, 'left', [[140, 80]]),
      { ...morning(3, 'right', [[140, 80]]), at: '2026-03-03T19:00:00Z' },
    ])
    expect(found).toMatchObject({ basis: 'unpaired', pairs: 0, leftReadings: 4, rightReadings: 1 })
    expect(found && roundedMmHg(found.systolic, 6)).toBe(10)
  })

  it.each([
    { left: [150, 80], right: [140, 90], higher: 'left' },
    { left: [140, 90], right: [150, 80], higher: 'right' },
    { left: [140, 80], right: [140, 81], higher: 'right' },
    { left: [140, 80], right: [140, 80], higher: 'neither' },
  ] as const)('of $left and $right makes the higher arm $higher', ({ left, right, higher }) => {
    const found = interArmOf([morning(3, 'left', [left]), morning(3, 'right', [right])])
    expect(found?.higherArm).toBe(higher)
  })

  it('tells the arm that is averaged, which need not be the higher one, and pools the two never', () => {
    const average = averageOf([
      morning(3, 'left', [
        [130, 80],
        [130, 80],
      ]),
      morning(3, 'right', [[150, 90]]),
    ])
    expect(average.interArm).toMatchObject({ armUsed: 'left', higherArm: 'right' })
    expect(average.used.map(({ session }) => session.arm)).toEqual(['left', 'left'])
  })

  it('is kept when the other arm was measured on the first day only, even if nothing is averaged', () => {
    const onFirstDay = [morning(2, 'left', [[150, 90]]), morning(2, 'right', [[120, 80]])]
    expect(interArmOf(onFirstDay)?.limits.every(({ above }) => above)).toBe(true)
    expect(interArmOf(onFirstDay)).not.toHaveProperty('armUsed')
    expect(interArmOf([...onFirstDay, morning(3, 'left', [[150, 90]])])).toMatchObject({
      pairs: 1,
      armUsed: 'left',
    })
  })

  it('does not exist for one arm, nor from readings at the clinic or the wrist', () => {
    const left = morning(3, 'left', [[150, 90]])
    expect(interArmOf([left])).toBeUndefined()
    expect(interArmOf([left, { ...morning(3, 'right', [[120, 80]]), setting: 'clinic' }])).toBeUndefined()
    expect(interArmOf([left, { ...morning(3, 'right', [[120, 80]]), site: 'wrist' }])).toBeUndefined()
  })

  it('takes no reading whose arm is not stated for either arm', () => {
    const pair = [morning(3, 'left', [[150, 80]]), morning(3, 'right', [[130, 80]])]
    const unstated: SittingParts = {
      ...morning(3, 'left', [[190, 99]]),
      at: '2026-03-03T06:50:00Z',
      arm: 'not-stated',
    }
    expect(interArmOf([...pair, unstated])).toEqual(interArmOf(pair))
    expect(interArmOf([unstated, morning(3, 'right', [[130, 80]])])).toBeUndefined()
    const alone = [4, 5, 6].map((day): SittingParts => ({ ...unstated, at: `2026-03-0${day}T06:50:00Z` }))
    const found = interArmOf([...pair, ...alone])
    expect(found && roundedMmHg(found.systolic, 6)).toBe(20)
    expect(found).not.toHaveProperty('armUsed')
  })

  it('is not told of readings whose site is not stated: the sites may differ', () => {
    const parts = [morning(3, 'left', [[150, 80]]), morning(3, 'right', [[130, 80]])]
    expect(interArmOf(parts.map((part) => ({ ...part, site: 'not-stated' })))).toBeUndefined()
  })
})

function over10(): string[] {
  return ['esc-2024-arms-memory 10', 'ish-2020-arms-memory 10', 'acc-aha-2017-arms 10']
}

function over15(): string[] {
  return ['nice-ng136-arms 15', 'esc-esh-2018-arms 15']
}

function over20(): string[] {
  return ['nice-cg127-arms 20', 'ish-2020-arms-memory 20', 'common-practice 20']
}

function morning(day: number, arm: 'left' | 'right', readings: SittingParts['readings']): SittingParts {
  const at = `2026-03-0${day}T07:${arm === 'left' ? '00' : '10'}:00Z`
  return { at, arm, readings }
}

function averageOf(parts: readonly SittingParts[]) {
  const protocol = shippedProtocol('nice-ng136-home')
  const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
  // The day before, so that the first-day rule has a day of its own.
  const dayBefore: SittingParts = { at: '2026-03-02T06:00:00Z', readings: [[150, null]] }
  return averagePeriod(plan, [dayBefore, ...parts].map(homeSitting), [])
}

function interArmOf(parts: readonly SittingParts[]) {
  return averageOf(parts).interArm
}
