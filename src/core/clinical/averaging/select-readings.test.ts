import { describe, expect, it } from 'vitest'
import type { SittingParts } from '../../../../tests/support/home-sitting.ts'
import { keepAll, selectSittings } from '../../../../tests/support/select-sittings.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import type { Protocol } from '../protocol/protocol.ts'

const nice = shippedProtocol('nice-ng136-home')
const mornings: Protocol = {
  ...nice,
  sittings: [{ name: 'morning', from: '04:00', to: '12:00' }],
  leaveOut: { ...nice.leaveOut, firstDays: 0, firstReading: 'drop' },
}

describe('which readings count', () => {
  it.each<{ what: string; odd: Partial<SittingParts>; reason: string; text: RegExp }>([
    {
      what: 'before the period',
      odd: { at: '2026-03-01T23:59:00Z' },
      reason: 'outside-period',
      text: /2026-03-02 to 2026-03-08/,
    },
    {
      what: 'after the period',
      odd: { at: '2026-03-09T00:00:00Z' },
      reason: 'outside-period',
      text: /in UTC/,
    },
    {
      what: 'taken at the clinic',
      odd: { setting: 'clinic' },
      reason: 'other-setting',
      text: /Not taken at home/,
    },
    {
      what: 'of a kiosk',
      odd: { setting: 'public-kiosk' },
      reason: 'other-setting',
      text: /Not taken at home/,
    },
    {
      what: 'of an ambulatory monitor',
      odd: { setting: 'ambulatory' },
      reason: 'other-setting',
      text: /Not taken at home/,
    },
    {
      what: 'without a diastolic pressure',
      odd: { readings: [[130, null]] },
      reason: 'pressure-missing',
      text: /both or neither/,
    },
    { what: 'of the wrist', odd: { site: 'wrist' }, reason: 'other-site', text: /sites are never pooled/ },
    { what: 'of the other arm', odd: { arm: 'right' }, reason: 'other-arm', text: /arms are never pooled/ },
  ])('leaves out a reading $what, and says why', ({ odd, reason, text }) => {
    const { used, leftOut } = selectSittings(keepAll, [
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]], id: 'odd', ...odd },
    ])
    expect(used.map(({ session }) => session.id)).not.toContain('odd')
    expect(leftOut.map((one) => [one.placed.session.id, one.reason])).toEqual([['odd', reason]])
    expect(leftOut[0]?.text).toMatch(text)
  })

  it('gives the first reason that applies, in the stated order', () => {
    const everythingWrong = {
      at: '2026-03-09T20:00:00Z',
      setting: 'clinic',
      site: 'wrist',
      arm: 'right',
      readings: [[130, null]],
    } as const
    const reasons = [
      everythingWrong,
      { ...everythingWrong, at: '2026-03-04T20:00:00Z' },
      { ...everythingWrong, at: '2026-03-04T20:01:00Z', setting: 'home' },
      { ...everythingWrong, at: '2026-03-04T20:02:00Z', setting: 'home', readings: [[130, 80]] },
      {
        ...everythingWrong,
        at: '2026-03-04T20:03:00Z',
        setting: 'home',
        readings: [[130, 80]],
        site: 'upper-arm',
      },
      { at: '2026-03-04T20:04:00Z', readings: [[130, 80]] },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]] },
    ] as const
    const plenty = {
      at: '2026-03-05T07:00:00Z',
      readings: [
        [130, 80],
        [130, 80],
        [130, 80],
      ],
    } as const
    const { leftOut } = selectSittings(mornings, [...reasons, plenty])
    const byTime = new Map(leftOut.map((one) => [one.placed.session.id, one.reason]))
    expect(reasons.map(({ at }) => byTime.get(at))).toEqual([
      'outside-period',
      'other-setting',
      'pressure-missing',
      'other-site',
      'other-arm',
      'outside-window',
      'first-reading',
    ])
    expect(byTime.get(plenty.at)).toBe('first-reading')
  })

  it('averages wrist readings when there are no others', () => {
    const { used, site } = selectSittings(keepAll, [
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]], site: 'wrist' },
    ])
    expect([used.length, site]).toEqual([1, 'wrist'])
  })

  it('does not let an upper-arm reading that cannot count push the wrist out', () => {
    const { used, leftOut, site } = selectSittings(keepAll, [
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]], site: 'wrist' },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]], setting: 'clinic' },
    ])
    expect([used.length, leftOut.length, site]).toEqual([1, 1, 'wrist'])
  })

  it('uses the arm the plan names, even when the other has more readings', () => {
    const { used, arm } = selectSittings(
      keepAll,
      [
        {
          at: '2026-03-03T07:00:00Z',
          readings: [
            [130, 80],
            [130, 80],
          ],
          arm: 'left',
        },
        { at: '2026-03-03T07:10:00Z', readings: [[150, 90]], arm: 'right' },
      ],
      { arm: 'right' },
    )
    expect([used.length, arm]).toEqual([1, 'right'])
  })

  it('averages nothing when the named arm was not measured', () => {
    const { used, leftOut } = selectSittings(
      keepAll,
      [{ at: '2026-03-03T07:00:00Z', readings: [[130, 80]] }],
      { arm: 'right' },
    )
    expect([used.length, leftOut.map(({ reason }) => reason)]).toEqual([0, ['other-arm']])
  })
})
