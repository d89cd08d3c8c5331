import { describe, expect, it } from 'vitest'
import { selectSittings } from '../../../../../tests/support/select-sittings.ts'
import { shippedProtocol } from '../../../../../tests/support/shipped-profiles.ts'
import type { Protocol } from '../../protocol/protocol.ts'

const nice = shippedProtocol('nice-ng136-home')

describe('the first day', () => {
  it('is the first day of measuring: who starts on the third day of the plan loses that day', () => {
    const { used, leftOut } = selectSittings(nice, [
      {
        at: '2026-03-04T19:00:00Z',
        readings: [
          [150, 90],
          [150, 90],
        ],
      },
      {
        at: '2026-03-05T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
    ])
    expect(leftOut.map(({ placed, reason }) => [placed.day, reason])).toEqual([
      ['2026-03-04', 'first-day'],
      ['2026-03-04', 'first-day'],
    ])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-05', '2026-03-05'])
  })

  it('is not begun by a reading at the clinic or before the period', () => {
    const { leftOut } = selectSittings(nice, [
      { at: '2026-03-01T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90]], setting: 'clinic' },
      { at: '2026-03-03T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['outside-period', 'other-setting', 'first-day'])
  })

  it('is begun by any measuring at home, even when its numbers are incomplete', () => {
    const { used } = selectSittings(nice, [
      { at: '2026-03-02T07:00:00Z', readings: [[130, null]] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-03'])
  })

  it('can be several days, counted as days of measuring', () => {
    const two: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 2 } }
    const { used, leftOut } = selectSittings(two, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-05T07:00:00Z', readings: [[140, 85]] },
      { at: '2026-03-06T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-06'])
    expect(leftOut[0]?.text).toMatch(/the first 2 days of measuring/)
  })

  it('names NICE and the rule in the reason', () => {
    const { leftOut } = selectSittings(nice, [{ at: '2026-03-02T07:00:00Z', readings: [[150, 90]] }])
    expect(leftOut[0]?.text).toMatch(
      /^Taken on the first day of measuring\. .* leaves the first day out\. Source: NICE guideline NG136.*1\.2\.7 and 1\.2\.8\.$/,
    )
  })
})

describe('a first day that misses a sitting', () => {
  const beside: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, partialFirstDay: 'comes-before-it' } }
  const evening = { at: '2026-03-02T19:00:00Z', readings: [[150, 90]] } as const
  const full = (day: number) => [
    { at: `2026-03-0${day}T07:00:00Z`, readings: [[130, 80]] } as const,
    { at: `2026-03-0${day}T19:00:00Z`, readings: [[130, 80]] } as const,
  ]

  it('is left out beside the first full day', () => {
    const { used, leftOut } = selectSittings(beside, [evening, ...full(3), ...full(4)])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-04', '2026-03-04'])
    expect(new Set(leftOut.map(({ reason }) => reason))).toEqual(new Set(['first-day']))
    expect(leftOut[0]?.text).toMatch(/leaves the first day out, and such a day beside/)
  })

  it('is the first day where the protocol does not say so', () => {
    expect(selectSittings(nice, [evening, ...full(3)]).used.map(({ day }) => day)).toEqual([
      '2026-03-03',
      '2026-03-03',
    ])
  })

  it('is none that has a complete reading in every window', () => {
    expect(selectSittings(beside, [...full(2), ...full(3)]).used).toHaveLength(2)
  })

  it('misses a sitting that has no complete reading', () => {
    const morning = { at: '2026-03-02T07:00:00Z', readings: [[130, null]] } as const
    expect(selectSittings(beside, [morning, evening, ...full(3), ...full(4)]).used).toHaveLength(2)
  })

  it('is left out by itself where the protocol leaves no further day out', () => {
    const none: Protocol = { ...beside, leaveOut: { ...beside.leaveOut, firstDays: 0 } }
    const { used, leftOut } = selectSittings(none, [evening, ...full(3)])
    expect([used.length, leftOut[0]?.text]).toEqual([2, expect.stringMatching(/leaves such a day out/)])
  })
})
