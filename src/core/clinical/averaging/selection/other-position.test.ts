import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedProtocols } from '../../../../../tests/support/shipped-profiles.ts'
import { averagePeriod } from '../average-period.ts'
import { placeReadings } from '../place-readings.ts'
import { selectReadings } from '../select-readings.ts'

const nice = shippedProtocol('nice-ng136-home')
const seated = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }
const days = { zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
const plan = { protocol: seated, ...days }

function sitting(time: string, said: Partial<SittingParts> = {}) {
  return homeSitting({ at: `2026-03-02T${time}:00Z`, id: time, readings: [[138, 84]], ...said })
}

function leftOut(planned: typeof plan, ...sittings: readonly ReturnType<typeof sitting>[]) {
  return selectReadings(planned, placeReadings(planned, sittings)).leftOut.map(({ placed, reason }) => [
    placed.session.position,
    reason,
  ])
}

describe('a reading of someone who is said to stand or lie', () => {
  const positions = ['sitting', 'standing', 'lying', 'semi-recumbent', 'not-stated'] as const
  const sittings = positions.map((position, minute) => sitting(`07:0${minute}`, { position }))

  it('is left out where the protocol is for people who sit; no other is, nor one that does not say', () => {
    expect(leftOut(plan, ...sittings)).toEqual([
      ['standing', 'other-position'],
      ['lying', 'other-position'],
    ])
  })

  it('counts where the protocol does not say', () => {
    const leaveOut = { ...seated.leaveOut, standingOrLying: 'keep' as const }
    expect(leftOut({ ...plan, protocol: { ...seated, leaveOut } }, ...sittings)).toEqual([])
  })

  it('is left out for what speaks against it before that, where both do', () => {
    const position = 'standing'
    const withdrawn = { ...sitting('07:00', { position }), withdrawn: true }
    const clinic = sitting('08:00', { position, setting: 'clinic' })
    const early = homeSitting({ at: '2026-03-01T07:00:00Z', position, readings: [[138, 84]] })
    const reasons = leftOut(plan, early, withdrawn, clinic).map(([, reason]) => reason)
    expect(reasons).toEqual(['outside-period', 'withdrawn', 'other-setting'])
  })

  it('is told why, by whose rule, and without a measured value', () => {
    const { leftOut: found } = averagePeriod(plan, sittings, [])
    expect(found[0]?.text).toMatch(/^Said to have been taken standing\. .*taken sitting\. Source: NICE/)
    expect(found[1]?.text).toMatch(/^Said to have been taken lying\. /)
    expect(found.map(({ text }) => text).join()).not.toMatch(/138|84/)
  })

  it('has no say in the arm, and is no side of a difference between the arms', () => {
    const right = [0, 1, 2].map((minute) => sitting(`07:1${minute}`, { arm: 'right', position: 'standing' }))
    const average = averagePeriod(plan, [sitting('07:00'), ...right], [])
    expect([average.arm, average.used.length]).toEqual(['left', 1])
    expect(average).not.toHaveProperty('interArm')
  })

  it('is of a day of measuring all the same, and of a sitting that was held', () => {
    const standing = sitting('07:00', { position: 'standing' })
    const next = homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[138, 84]] })
    const { leftOut: found, adherence } = averagePeriod({ protocol: nice, ...days }, [standing, next], [])
    expect(found.map(({ reason }) => reason)).toEqual(['other-position'])
    expect(adherence.sittingsHeld).toBe(2)
  })
})

describe('every shipped protocol', () => {
  it.each(shippedProtocols().map((protocol) => ({ id: protocol.id, protocol })))(
    '$id says what becomes of such a reading, and why',
    ({ protocol: { settledHere, leaveOut } }) => {
      const said = settledHere.filter((text) => /standing or lying|whichever position/.test(text))
      expect(said).toHaveLength(1)
      expect(said[0]?.includes('is left out')).toBe(leaveOut.standingOrLying === 'leave-out')
    },
  )
})
