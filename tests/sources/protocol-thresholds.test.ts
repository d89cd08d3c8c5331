// The bands of each published source, typed from it. Home: NICE NG136 (1.4.22 for targets); Hypertension Canada; the
// AHA/AMA programme page; ACC/AHA 2017 and AHA/ACC 2025 table 7 (home 130/80 beside office 130/80); KSH 2013 table 6;
// AHA/ASH/PCNA 2008 as reprinted in PMC8109940; JSH 2019 targets as reviewed in PMC6875598; ESC/ESH 2018, ESC 2024,
// ESH, ISH 2020, JSH 2019 grades and Taiwan 2022 from memory, unverified. Ambulatory: KSH 2013 table 6; ACC/AHA 2017,
// the row of office 130/80; ESC 2024 as reported; NICE NG136 (ambulatory and home alike, 5 below the clinic).
import { describe, expect, it } from 'vitest'
import type { Evidence } from '../../src/core/clinical/citations.ts'
import { shippedProtocols, shippedRecordingRules, shippedThresholdSets } from '../support/shipped-profiles.ts'

type Bounds = readonly (readonly [systolic: number, diastolic: number | undefined])[]

const HOME: readonly (readonly [id: string, evidence: Evidence, names: string, bounds: Bounds])[] = [
  [
    'nice-ng136-home',
    'read',
    'NICE NG136',
    [
      [135, 85],
      [150, 95],
    ],
  ],
  ['nice-ng136-target-under-80', 'read', 'under 80 years', [[135, 85]]],
  ['nice-ng136-target-80-and-over', 'read', '80 years and over', [[145, 85]]],
  ['hypertension-canada-home', 'read', 'Hypertension Canada', [[135, 85]]],
  [
    'aha-ama-2020-home',
    'read',
    'AHA/AMA',
    [
      [120, undefined],
      [130, 80],
    ],
  ],
  ['acc-aha-2017-home', 'read', 'ACC/AHA 2017', [[130, 80]]],
  ['aha-acc-2025-home', 'read', 'AHA/ACC 2025', [[130, 80]]],
  ['esc-esh-2018-home', 'memory', 'ESC/ESH 2018', [[135, 85]]],
  [
    'esc-2024-home',
    'memory',
    'ESC 2024',
    [
      [120, 70],
      [135, 85],
    ],
  ],
  ['esh-2008-home', 'memory', 'ESH 2008', [[135, 85]]],
  ['esh-2021-home', 'memory', 'ESH 2021', [[135, 85]]],
  ['ish-2020-home', 'memory', 'ISH 2020', [[135, 85]]],
  [
    'jsh-2019-home',
    'memory',
    'JSH 2019',
    [
      [125, 75],
      [135, 85],
      [145, 90],
      [160, 100],
    ],
  ],
  ['jsh-2019-target-under-75', 'reported', 'under 75 years', [[125, 75]]],
  ['jsh-2019-target-75-and-over', 'reported', '75 years and over', [[135, 85]]],
  ['ksh-2013-home', 'read', 'KSH 2013', [[135, 85]]],
  ['taiwan-2022-home', 'memory', 'Taiwan 2022', [[130, 80]]],
  ['aha-ash-pcna-2008-goal', 'reported', 'AHA/ASH/PCNA 2008', [[135, 85]]],
  [
    'aha-ash-pcna-2008-goal-diabetes-coronary-kidney',
    'reported',
    'diabetes, coronary or kidney',
    [[130, 80]],
  ],
]

const AMBULATORY: readonly (readonly [id: string, evidence: Evidence, names: string, bounds: Bounds])[] = [
  ['ksh-2013-ambulatory-24-hours', 'read', 'KSH 2013 24-hour', [[130, 80]]],
  ['ksh-2013-ambulatory-day', 'read', 'KSH 2013 daytime', [[135, 85]]],
  ['ksh-2013-ambulatory-night', 'read', 'KSH 2013 night-time', [[120, 70]]],
  ['acc-aha-2017-ambulatory-24-hours', 'read', 'ACC/AHA 2017 24-hour', [[125, 75]]],
  ['acc-aha-2017-ambulatory-day', 'read', 'ACC/AHA 2017 daytime', [[130, 80]]],
  ['acc-aha-2017-ambulatory-night', 'read', 'ACC/AHA 2017 night-time', [[110, 65]]],
  ['esc-2024-ambulatory-24-hours', 'reported', 'ESC 2024 24-hour', [[130, 80]]],
  ['esc-2024-ambulatory-day', 'reported', 'ESC 2024 daytime', [[135, 85]]],
  ['esc-2024-ambulatory-night', 'reported', 'ESC 2024 night-time', [[120, 70]]],
  [
    'nice-ng136-ambulatory-day',
    'read',
    'NICE NG136 daytime',
    [
      [135, 85],
      [150, 95],
    ],
  ],
]

const shipped = new Map(shippedThresholdSets().map((set) => [set.id, set]))

describe('the shipped threshold sets against their sources', () => {
  it.each(HOME)('%s: %s', (id, evidence, names, bounds) => {
    const set = shipped.get(id)
    expect(set?.bands.map(({ systolicMmHg, diastolicMmHg }) => [systolicMmHg, diastolicMmHg])).toEqual(bounds)
    expect(set).toMatchObject({ evidence, setting: 'home', title: expect.stringContaining(names) })
  })

  it.each(AMBULATORY)('%s: %s', (id, evidence, names, bounds) => {
    const set = shipped.get(id)
    const setting = id.slice(id.indexOf('ambulatory'))
    expect(set?.bands.map(({ systolicMmHg, diastolicMmHg }) => [systolicMmHg, diastolicMmHg])).toEqual(bounds)
    expect(set).toMatchObject({ evidence, setting, title: expect.stringContaining(names) })
  })

  it('are all of them', () => {
    expect([...shipped.keys()].sort()).toEqual([...HOME, ...AMBULATORY].map(([id]) => id).sort())
  })

  it.each([...shipped.values()])('$id: its title says so exactly when it is from memory', (set) => {
    expect(set.title.endsWith('(from memory, unverified)')).toBe(set.evidence === 'memory')
  })

  it('from memory label only means of a protocol that is from memory itself', () => {
    for (const { id, evidence, thresholdSets } of [...shippedProtocols(), ...shippedRecordingRules()]) {
      const fromMemory = thresholdSets.filter((set) => shipped.get(set)?.evidence === 'memory')
      if (evidence !== 'memory') expect(fromMemory, id).toEqual([])
    }
  })

  it('that depend on age, illness or a later guideline are named by no protocol', () => {
    const named = new Set(shippedProtocols().flatMap(({ thresholdSets }) => thresholdSets))
    const left = HOME.map(([id]) => id).filter((id) => !named.has(id))
    expect(left.sort()).toEqual([
      'aha-ash-pcna-2008-goal-diabetes-coronary-kidney',
      'jsh-2019-target-75-and-over',
      'jsh-2019-target-under-75',
      'nice-ng136-target-80-and-over',
      'nice-ng136-target-under-80',
      'taiwan-2022-home',
    ])
  })
})
