import { describe, expect, it } from 'vitest'
import { homeSitting } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { averagePeriod } from '../averaging/average-period.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { comparePeriod } from './compare-period.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepAll: Protocol = { ...nice, id: 'keep-all', leaveOut: { ...nice.leaveOut, firstDays: 0 } }
const apart: Protocol = { ...keepAll, id: 'apart', windowsAveraged: 'apart' }
const plan = { zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
const sets = shippedThresholdSets().filter(({ id }) => id === 'nice-ng136-home')

/** 126/76 on the first day, 140/80 on the second: 133 of all, 140 without the first. */
const rising = [
  homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[126, 76]] }),
  homeSitting({ at: '2026-03-03T19:00:00Z', readings: [[140, 80]] }),
]

describe('a period under several protocols', () => {
  it('has for each the average its own period would have', () => {
    const { compared } = comparePeriod(plan, rising, [nice, keepAll], sets)
    expect(compared.map(({ protocol }) => protocol.id)).toEqual(['nice-ng136-home', 'keep-all'])
    for (const { protocol, average } of compared)
      expect(average).toEqual(averagePeriod({ ...plan, protocol }, rising, sets))
  })

  it('tells by one set that the rule, not the patient, moves the category', () => {
    const { bySet } = comparePeriod(plan, rising, [nice, keepAll], sets)
    expect(bySet).toEqual([
      {
        thresholdSet: 'nice-ng136-home',
        title: 'NICE NG136 home average',
        labels: [
          { protocol: 'nice-ng136-home', label: 'stage 1 range, from 135/85' },
          { protocol: 'keep-all', label: 'below 135/85' },
        ],
        moves: true,
      },
    ])
  })

  it('does not take windows that a source labels apart for a move', () => {
    const { bySet, compared } = comparePeriod(plan, rising, [keepAll, apart], sets)
    expect(compared[1]?.average.labels.map(({ window, label }) => [window, label])).toEqual([
      ['morning', 'below 135/85'],
      ['evening', 'stage 1 range, from 135/85'],
    ])
    expect(bySet.map(({ moves }) => moves)).toEqual([false])
  })

  it('leaves out a protocol without a mean, which moves nothing', () => {
    const [firstDayOnly] = rising
    if (firstDayOnly === undefined) throw new TypeError('no sitting')
    const { bySet } = comparePeriod(plan, [firstDayOnly], [nice, keepAll], sets)
    expect(bySet.map(({ labels, moves }) => [labels.map(({ protocol }) => protocol), moves])).toEqual([
      [['keep-all'], false],
    ])
  })

  it('looks only at sets that are drawn for home averages, protocol or not', () => {
    const [home] = sets
    if (home === undefined) throw new TypeError('no threshold set')
    const others: readonly ThresholdSet[] = [
      { ...home, id: 'clinic', setting: 'clinic' },
      { ...home, id: 'day', setting: 'ambulatory-day' },
      { ...home, id: 'another' },
    ]
    const { bySet } = comparePeriod(plan, rising, [nice], others)
    expect(bySet.map(({ thresholdSet }) => thresholdSet)).toEqual(['another'])
  })
})
