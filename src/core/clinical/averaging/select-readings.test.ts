import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { PeriodPlan } from './period-average.ts'
import { placeReadings } from './place-readings.ts'
import { selectReadings } from './select-readings.ts'

const nice = shippedProtocol('nice-ng136-home')
const mornings: Protocol = {
  ...nice,
  sittings: [{ name: 'morning', from: '04:00', to: '12:00' }],
  leaveOut: { ...nice.leaveOut, firstDays: 0, firstReading: 'drop' },
}
const keepAll: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }

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
    const { used, leftOut } = select(keepAll, [
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
    const { leftOut } = select(mornings, [...reasons, plenty])
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
    const { used, site } = select(keepAll, [
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]], site: 'wrist' },
    ])
    expect([used.length, site]).toEqual([1, 'wrist'])
  })

  it('does not let an upper-arm reading that cannot count push the wrist out', () => {
    const { used, leftOut, site } = select(keepAll, [
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]], site: 'wrist' },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]], setting: 'clinic' },
    ])
    expect([used.length, leftOut.length, site]).toEqual([1, 1, 'wrist'])
  })

  it('uses the arm the plan names, even when the other has more readings', () => {
    const { used, arm } = select(
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
      'right',
    )
    expect([used.length, arm]).toEqual([1, 'right'])
  })

  it('averages nothing when the named arm was not measured', () => {
    const { used, leftOut } = select(
      keepAll,
      [{ at: '2026-03-03T07:00:00Z', readings: [[130, 80]] }],
      'right',
    )
    expect([used.length, leftOut.map(({ reason }) => reason)]).toEqual([0, ['other-arm']])
  })
})

describe('the first day', () => {
  it('is the first day of measuring: who starts on the third day of the plan loses that day', () => {
    const { used, leftOut } = select(nice, [
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
    const { leftOut } = select(nice, [
      { at: '2026-03-01T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90]], setting: 'clinic' },
      { at: '2026-03-03T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['outside-period', 'other-setting', 'first-day'])
  })

  it('is begun by any measuring at home, even when its numbers are incomplete', () => {
    const { used } = select(nice, [
      { at: '2026-03-02T07:00:00Z', readings: [[130, null]] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-03'])
  })

  it('can be several days, counted as days of measuring', () => {
    const two: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 2 } }
    const { used, leftOut } = select(two, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90]] },
      { at: '2026-03-05T07:00:00Z', readings: [[140, 85]] },
      { at: '2026-03-06T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(used.map(({ day }) => day)).toEqual(['2026-03-06'])
    expect(leftOut[0]?.text).toMatch(/the first 2 days of measuring/)
  })

  it('names NICE and the rule in the reason', () => {
    const { leftOut } = select(nice, [{ at: '2026-03-02T07:00:00Z', readings: [[150, 90]] }])
    expect(leftOut[0]?.text).toMatch(
      /^Taken on the first day of measuring\. .* leaves the first day out\. Source: NICE guideline NG136.*1\.2\.7 and 1\.2\.8\.$/,
    )
  })
})

describe('two sittings in one window of one day', () => {
  it('count both, each with its own first reading', () => {
    const { used, leftOut } = select(mornings, [
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
      {
        at: '2026-03-03T09:00:00Z',
        readings: [
          [130, 80],
          [130, 80],
        ],
      },
    ])
    expect(used.map(({ reading }) => reading.ordinal)).toEqual([2, 2])
    expect(leftOut.map(({ reason }) => reason)).toEqual(['first-reading', 'first-reading'])
  })
})

function select(protocol: Protocol, parts: readonly SittingParts[], arm?: PeriodPlan['arm']) {
  const plan: PeriodPlan = {
    protocol,
    zone: 'UTC',
    firstDay: '2026-03-02',
    lastDay: '2026-03-08',
    ...(arm === undefined ? {} : { arm }),
  }
  return selectReadings(plan, placeReadings(plan, parts.map(homeSitting)))
}
