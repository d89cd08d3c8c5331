import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { roundedMmHg } from '../../basics/exact-mean.ts'
import type { Protocol } from '../protocol/protocol.ts'
import type { ThresholdSet } from '../protocol/threshold-set.ts'
import { averagePeriod } from './average-period.ts'
import type { MeanPressure } from './period-average.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepAll: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }

describe('the average of a period', () => {
  it('keeps readings with technique findings and shows beside it the average without them', () => {
    const average = averageOf(keepAll, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [150, 80],
          [140, 80],
        ],
        findings: [techniqueFinding(1)],
      },
      {
        at: '2026-03-02T19:00:00Z',
        readings: [
          [128, 80],
          [126, 80],
        ],
      },
    ])
    expect(mmHgOf(average.mean)).toEqual([136, 80])
    expect(average.labels.map(({ label }) => label)).toEqual(['stage 1 range, from 135/85'])
    expect(average.sensitivity.flaggedReadings).toBe(1)
    expect(mmHgOf(average.sensitivity.mean)).toEqual([131.333333, 80])
    expect(average.sensitivity.labels.map(({ label }) => label)).toEqual(['below 135/85'])
  })

  it('has no second average when every reading is flagged', () => {
    const average = averageOf(keepAll, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 80]], findings: [techniqueFinding()] },
    ])
    expect(average.sensitivity).toEqual({ labels: [], flaggedReadings: 1 })
  })

  it('does not count a flagged reading that is left out anyway', () => {
    const average = averageOf(nice, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 80]], findings: [techniqueFinding()] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(average.sensitivity.flaggedReadings).toBe(0)
  })

  it('keeps doubtful numbers in the mean and takes them out of the second average', () => {
    const findings = [{ ...techniqueFinding(), kind: 'plausibility', code: 'systolic-doubtful' } as const]
    const average = averageOf(keepAll, [{ at: '2026-03-02T07:00:00Z', readings: [[255, 80]], findings }])
    expect([average.used.length, average.sensitivity.flaggedReadings]).toEqual([1, 1])
  })

  it('leaves out what the clinic’s policy excludes, and compares with the rest', () => {
    const { used, sensitivity, mean } = averagePeriod(
      {
        protocol: keepAll,
        zone: 'UTC',
        firstDay: '2026-03-02',
        lastDay: '2026-03-08',
        policy: { talking: 'exclude' },
      },
      [
        homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[150, 80]], findings: [techniqueFinding()] }),
        homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[130, 80]] }),
      ],
      [],
    )
    expect([used.length, sensitivity.flaggedReadings]).toEqual([1, 0])
    expect(sensitivity.mean).toEqual(mean)
  })

  it('labels each window by itself under a protocol that averages them apart', () => {
    const apart: Protocol = { ...keepAll, windowsAveraged: 'apart' }
    const { labels, sensitivity } = averageOf(apart, [
      { at: '2026-03-02T07:00:00Z', readings: [[152, 80]] },
      { at: '2026-03-02T19:00:00Z', readings: [[120, 80]], findings: [techniqueFinding()] },
    ])
    expect(labels.map(({ window, label }) => [window, label])).toEqual([
      ['morning', 'stage 2 range, from 150/95'],
      ['evening', 'below 135/85'],
    ])
    expect(sensitivity.labels.map(({ window }) => window)).toEqual(['morning'])
  })

  it('leaves a zero out of the diastolic mean only where the protocol says so and the sitting has another', () => {
    const sitting: SittingParts = {
      at: '2026-03-02T07:00:00Z',
      readings: [
        [104, 0],
        [96, 28],
        [100, 30],
      ],
    }
    const zeros: SittingParts = {
      at: '2026-03-03T07:00:00Z',
      readings: [
        [144, 0],
        [150, 0],
      ],
    }
    const beside: Protocol = {
      ...keepAll,
      leaveOut: { ...keepAll.leaveOut, zeroDiastolic: 'leave-out-beside-others' },
    }
    expect(mmHgOf(averageOf(keepAll, [sitting]).mean)).toEqual([100, 19.333333])
    const { mean } = averageOf(beside, [sitting])
    expect(mmHgOf(mean)).toEqual([100, 29])
    expect([mean?.readings, mean?.diastolicReadings]).toEqual([3, 2])
    expect(mmHgOf(averageOf(beside, [zeros]).mean)).toEqual([147, 0])
    const sittingMeans = averageOf({ ...beside, pooling: 'mean-of-sitting-means' }, [sitting, zeros]).mean
    expect(mmHgOf(sittingMeans)).toEqual([123.5, 14.5])
    expect([sittingMeans?.readings, sittingMeans?.diastolicReadings]).toEqual([5, 4])
  })

  it('has no mean, no label and no arm when nothing counts', () => {
    const average = averageOf(nice, [{ at: '2026-03-02T07:00:00Z', readings: [[150, 80]] }])
    expect(average).not.toHaveProperty('mean')
    expect(average).not.toHaveProperty('arm')
    expect(average).toMatchObject({
      byWindow: [],
      labels: [],
      received: 1,
      sufficiency: { daysUsed: 0, daysMeasured: 1, enoughDays: false, enoughReadings: false },
    })
  })

  it('has nothing for nothing', () => {
    expect(averageOf(nice, [])).toMatchObject({ used: [], leftOut: [], received: 0, labels: [] })
  })

  it('gives windows in the protocol’s order, and only those with readings', () => {
    const protocol: Protocol = {
      ...keepAll,
      sittings: [
        { name: 'evening', from: '18:00', to: '24:00' },
        { name: 'noon', from: '11:00', to: '13:00' },
        { name: 'morning', from: '04:00', to: '11:00' },
      ],
    }
    const { byWindow } = averageOf(protocol, [
      { at: '2026-03-02T07:00:00Z', readings: [[130, 80]] },
      { at: '2026-03-02T19:00:00Z', readings: [[120, 70]] },
    ])
    expect(byWindow.map(({ window, mean }) => [window, ...mmHgOf(mean)])).toEqual([
      ['evening', 120, 70],
      ['morning', 130, 80],
    ])
  })

  it('labels by the sets for home averages the protocol names, in its order, and by no others', () => {
    const set = shippedThresholdSets().find(({ id }) => id === 'nice-ng136-home')
    if (set === undefined) throw new TypeError('no threshold set')
    const sets: ThresholdSet[] = ['a', 'b', 'c'].map((id) => ({ ...set, id }))
    sets.push({ ...set, id: 'clinic', setting: 'clinic' })
    const protocol = { ...keepAll, thresholdSets: ['c', 'clinic', 'a', 'missing'] }
    const { labels } = averagePeriod(
      { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' },
      [homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] })],
      sets,
    )
    expect(labels.map(({ thresholdSet }) => thresholdSet)).toEqual(['c', 'a'])
  })

  it('keeps a night worker’s days across the spring change: seven local days, fourteen sittings', () => {
    const parts = Array.from({ length: 7 }, (_, index): SittingParts[] => {
      const day = String(index + 5).padStart(2, '0')
      const offset = index + 5 <= 7 ? '-07:00' : '-06:00'
      const early = index + 5 === 8 ? '-07:00' : offset
      return [
        {
          at: `2026-03-${day}T00:15:00${early}`,
          readings: [
            [130, 80],
            [130, 80],
          ],
        },
        {
          at: `2026-03-${day}T23:45:00${offset}`,
          readings: [
            [130, 80],
            [130, 80],
          ],
        },
      ]
    }).flat()
    const average = averagePeriod(
      { protocol: nice, zone: 'America/Denver', firstDay: '2026-03-05', lastDay: '2026-03-11' },
      parts.map(homeSitting),
      [],
    )
    expect([average.used.length, average.received]).toEqual([24, 28])
    expect(average.sufficiency).toMatchObject({ daysUsed: 6, daysMeasured: 7, enoughDays: true })
    expect(average.byWindow.map(({ window, mean }) => [window, mean.readings])).toEqual([
      ['morning', 12],
      ['evening', 12],
    ])
  })
})

function averageOf(protocol: Protocol, parts: readonly SittingParts[]) {
  const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
  return averagePeriod(plan, parts.map(homeSitting), shippedThresholdSets())
}

function mmHgOf(mean: MeanPressure | undefined): readonly (number | undefined)[] {
  return [mean?.systolic, mean?.diastolic].map((one) => one && roundedMmHg(one, 6))
}
