import { describe, expect, it } from 'vitest'
import { homeSitting, type Numbers } from '../../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../../tests/support/shipped-profiles.ts'
import { type ArmGroup, armGroup, type SiteGroup } from '../limb-groups.ts'
import type { PeriodPlan } from '../period-average.ts'
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

describe('an arm that is not stated', () => {
  it.each<{ what: string; readings: Readonly<Record<ArmGroup, number>>; arm: ArmGroup }>([
    {
      what: 'is averaged where more readings leave it out',
      readings: { left: 2, right: 2, 'not-stated': 3 },
      arm: 'not-stated',
    },
    {
      what: 'gives way to a stated one on a tie',
      readings: { left: 1, right: 2, 'not-stated': 2 },
      arm: 'right',
    },
    { what: 'is no part of either arm', readings: { left: 1, right: 2, 'not-stated': 1 }, arm: 'right' },
    {
      what: 'is averaged where none is stated',
      readings: { left: 0, right: 0, 'not-stated': 1 },
      arm: 'not-stated',
    },
  ])('$what', ({ readings, arm }) => {
    const { selection, groups } = selectGroups(plan, readings)
    expect(selection.arm).toBe(arm)
    expect(groups.used).toEqual(Array(readings[arm]).fill(arm))
    expect(selection.leftOut.map(({ reason }) => reason)).toEqual(
      groups.leftOut.map((group) =>
        group === 'not-stated' || arm === 'not-stated' ? 'arm-not-stated' : 'other-arm',
      ),
    )
  })

  it('is left out where the plan names an arm, however many there are, and the reason says so', () => {
    const { selection, groups } = selectGroups(
      { ...plan, arm: 'left' },
      { left: 1, right: 0, 'not-stated': 3 },
    )
    expect(groups.used).toEqual(['left'])
    expect(new Set(selection.leftOut.map(({ reason, text }) => `${reason} ${text}`))).toEqual(
      new Set([
        'arm-not-stated Its source did not state the arm, and the plan asks for the left one. Rule of this gateway: arms are never pooled and never guessed.',
      ]),
    )
  })

  it('leaves nothing to average where the plan names an arm and no reading states one', () => {
    const { selection } = selectGroups({ ...plan, arm: 'left' }, { left: 0, right: 0, 'not-stated': 2 })
    expect(selection.used).toEqual([])
    expect(selection.leftOut.map(({ reason }) => reason)).toEqual(['arm-not-stated', 'arm-not-stated'])
  })

  it('says of the two that cannot be compared which one is not stated', () => {
    const text = (readings: Readonly<Record<ArmGroup, number>>) =>
      selectGroups(plan, readings).selection.leftOut[0]?.text
    expect(text({ left: 1, right: 0, 'not-stated': 1 })).toMatch(
      /^Its source did not state the arm, which the/,
    )
    expect(text({ left: 1, right: 0, 'not-stated': 2 })).toMatch(
      /^Its arm is stated, and the readings averaged, which/,
    )
  })
})

function selectGroups(rules: PeriodPlan, readings: Readonly<Record<ArmGroup, number>>) {
  const arms: readonly ArmGroup[] = ['left', 'right', 'not-stated']
  const sittings = arms.map((arm, place) =>
    homeSitting({
      at: `2026-03-02T07:${place}0:00Z`,
      arm,
      readings: Array.from({ length: readings[arm] }, (): Numbers => [130, 80]),
    }),
  )
  const selection = selectReadings(rules, placeReadings(rules, sittings))
  return {
    selection,
    groups: {
      used: selection.used.map(({ session }) => armGroup(session)),
      leftOut: selection.leftOut.map(({ placed }) => armGroup(placed.session)),
    },
  }
}

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

  it.each<{ sites: readonly SiteGroup[]; site: SiteGroup; reasons: readonly string[] }>([
    {
      sites: ['wrist', 'not-stated', 'upper-arm'],
      site: 'upper-arm',
      reasons: ['other-site', 'site-not-stated'],
    },
    {
      sites: ['wrist', 'wrist', 'not-stated'],
      site: 'not-stated',
      reasons: ['site-not-stated', 'site-not-stated'],
    },
    { sites: ['not-stated', 'wrist'], site: 'not-stated', reasons: ['site-not-stated'] },
    { sites: ['wrist'], site: 'wrist', reasons: [] },
  ])('of $sites is $site', ({ sites, site, reasons }) => {
    const placed = placeReadings(
      plan,
      sites.map((one, place) =>
        homeSitting({ at: `2026-03-02T07:${place}0:00Z`, site: one, readings: [[130, 80]] }),
      ),
    )
    const selection = selectReadings(plan, placed)
    expect(selection.site).toBe(site)
    expect(selection.leftOut.map(({ reason }) => reason)).toEqual(reasons)
  })

  it('says of the wrist and the upper arm which was taken, though the plan’s arm has the wrist only', () => {
    const onLeft = { ...plan, arm: 'left' } as const
    const placed = placeReadings(onLeft, [
      homeSitting({ at: '2026-03-02T07:00:00Z', arm: 'left', site: 'wrist', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-02T08:00:00Z', arm: 'right', readings: [[130, 80]] }),
    ])
    expect(selectReadings(onLeft, placed).leftOut[0]?.text).toMatch(/^Taken on the upper arm while/)
  })

  it('leaves each limb its own schedule, that of an arm that is not stated too', () => {
    const { leaveOut } = plan.protocol
    const strict = {
      ...plan,
      protocol: { ...plan.protocol, leaveOut: { ...leaveOut, extraSittings: 'leave-out' } },
    } as const
    const { selection } = selectGroups(strict, { left: 1, right: 1, 'not-stated': 1 })
    expect(selection.leftOut.map(({ reason }) => reason)).toEqual(['other-arm', 'arm-not-stated'])
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
