// The home schedules of the published guidelines, one row each, typed from the source named beside it. Where a source
// was not opened, the row says "reported" (another publication states it) or "memory" (unverified).
import { describe, expect, it } from 'vitest'
import type { Evidence } from '../../src/core/clinical/citations.ts'
import { shippedProtocol, shippedProtocols } from '../support/shipped-profiles.ts'

interface Row {
  readonly id: string
  /** A part of the citation that must stand in the file. */
  readonly source: string
  readonly evidence: Evidence
  readonly readings: readonly [least: number, asked: number]
  readonly days: readonly [least: number, ideal: number]
  /** Days left out at the start. */
  readonly drops: number
  readonly first: 'keep' | 'drop'
  /** Usable minimum of readings the source states. */
  readonly minimum?: number
  readonly mean: 'all-readings' | 'mean-of-sitting-means'
  readonly windows: 'together' | 'apart'
  readonly sets: readonly string[]
  /** Words of what the source asks beside the schedule. */
  readonly asks: readonly string[]
}

const twice = { readings: [2, 2], first: 'keep', mean: 'all-readings', windows: 'together' } as const

const ROWS: readonly Row[] = [
  // NICE NG136 1.2.7 and 1.2.8: 2 readings, at least 4 days, ideally 7, day 1 discarded, average of all the remaining.
  {
    ...twice,
    id: 'nice-ng136-home',
    source: 'NG136',
    evidence: 'read',
    days: [4, 7],
    drops: 1,
    sets: ['nice-ng136-home'],
    asks: ['one minute apart'],
  },
  // Hypertension Canada, CHEP 2017 list: 2 readings, 7 days, day 1 left out, the following 6 averaged (last part reported).
  {
    ...twice,
    id: 'hypertension-canada-home',
    source: 'CHEP 2017',
    evidence: 'reported',
    days: [7, 7],
    drops: 1,
    sets: ['hypertension-canada-home'],
    asks: [],
  },
  // CMAJ 2021, PMC8342011: 2 readings twice a day for 7 days, "28 readings total", no day left out.
  {
    ...twice,
    id: 'cmaj-2021-home',
    source: 'PMC8342011',
    evidence: 'read',
    days: [7, 7],
    drops: 0,
    sets: ['hypertension-canada-home'],
    asks: [],
  },
  // AHA scientific statement 2019: at least 3 days, 7 or more preferred, nothing left out, 12 readings at least.
  {
    ...twice,
    id: 'aha-2019-home',
    source: '10.1161/HYP.0000000000000087',
    evidence: 'reported',
    days: [3, 7],
    drops: 0,
    minimum: 12,
    sets: ['aha-acc-2025-home'],
    asks: ['before taking blood pressure medicine', 'before going to bed', 'one after the other'],
  },
  // AHA/AMA joint policy 2020: 3 days with 12 readings, 7 with 28, nothing left out.
  {
    ...twice,
    id: 'aha-ama-2020-home',
    source: '10.1161/CIR.0000000000000803',
    evidence: 'reported',
    days: [3, 7],
    drops: 0,
    minimum: 12,
    sets: ['aha-ama-2020-home'],
    asks: [],
  },
  // ACC/AHA 2017, home table: 2 or more readings a minute apart, the week before a visit, nothing left out.
  {
    ...twice,
    id: 'acc-aha-2017-home',
    source: '10.1161/HYP.0000000000000065',
    evidence: 'read',
    days: [7, 7],
    drops: 0,
    sets: ['acc-aha-2017-home'],
    asks: ['30 minutes', 'before taking medicine', 'before supper'],
  },
  // ESC/ESH 2018 (memory): 2 readings 1 to 2 minutes apart, at least 3 days, 6 to 7 before each visit.
  {
    ...twice,
    id: 'esc-esh-2018-home',
    source: '10.1093/eurheartj/ehy339',
    evidence: 'memory',
    days: [3, 7],
    drops: 0,
    sets: ['esc-esh-2018-home'],
    asks: ['quiet room', '5 minutes', 'back and the arm'],
  },
  // ESC 2024 (schedule from memory): 2 readings, 3 to 7 days, average of all.
  {
    ...twice,
    id: 'esc-2024-home',
    source: '10.1093/eurheartj/ehae178',
    evidence: 'memory',
    days: [3, 7],
    drops: 0,
    sets: ['esc-2024-home'],
    asks: [],
  },
  // ESH 2008 and 2010 (memory): 2 readings, 3 to 7 days, day 1 left out, 12 readings at least.
  {
    ...twice,
    id: 'esh-2008-home',
    source: 'J Hypertens 2008;26:1505',
    evidence: 'memory',
    days: [3, 7],
    drops: 1,
    minimum: 12,
    sets: ['esh-2008-home'],
    asks: ['5 minutes', 'before taking medicine and before a meal'],
  },
  // ESH 2021 and 2023 (memory): as before, one minute apart.
  {
    ...twice,
    id: 'esh-2021-home',
    source: '10.1097/HJH.0000000000002922',
    evidence: 'memory',
    days: [3, 7],
    drops: 1,
    minimum: 12,
    sets: ['esh-2021-home'],
    asks: ['before taking medicine and before meals'],
  },
  // ISH 2020 (memory): 2 readings, 3 to 7 days, day 1 left out.
  {
    ...twice,
    id: 'ish-2020-home',
    source: '10.1161/HYPERTENSIONAHA.120.15026',
    evidence: 'memory',
    days: [3, 7],
    drops: 1,
    sets: ['ish-2020-home'],
    asks: ['before taking medicine'],
  },
  // JSH 2019 (memory): 2 readings, 1 accepted, their mean is the value of the occasion; 5 to 7 days; windows apart.
  {
    id: 'jsh-2019-home',
    source: '10.1038/s41440-019-0284-9',
    evidence: 'memory',
    readings: [1, 2],
    days: [5, 7],
    drops: 0,
    first: 'keep',
    mean: 'mean-of-sitting-means',
    windows: 'apart',
    sets: ['jsh-2019-home'],
    asks: [
      'within one hour of waking',
      'after passing urine',
      'before medicine and breakfast',
      'going to bed',
    ],
  },
  // Taiwan 2020, PMC7677637 table 1: 2 or more, 4 to 7 days, day 1 left out, morning and evening means over all readings.
  {
    ...twice,
    id: 'taiwan-2020-home',
    source: 'PMC7677637',
    evidence: 'read',
    days: [4, 7],
    drops: 1,
    windows: 'apart',
    sets: [],
    asks: [
      'within one hour of waking',
      'within one hour before going to bed',
      'at least three',
      'consecutive',
    ],
  },
  // AHA/ASH/PCNA 2008, PMC8109940 table II: 2 to 3 readings, 7 days, day 1 left out, 12 readings at least.
  {
    ...twice,
    id: 'aha-ash-pcna-2008-home',
    source: 'PMC8109940',
    evidence: 'reported',
    readings: [2, 3],
    days: [7, 7],
    drops: 1,
    minimum: 12,
    sets: ['aha-ash-pcna-2008-goal'],
    asks: ['set times'],
  },
  // J Am Board Fam Med table 1: 3 readings, 5 days, days 1 and 2 and the first of each triplicate left out; leaves 12.
  {
    ...twice,
    id: 'family-practice-triplicate',
    source: 'J Am Board Fam Med',
    evidence: 'read',
    readings: [3, 3],
    days: [5, 5],
    drops: 2,
    first: 'drop',
    minimum: 12,
    sets: [],
    asks: ['cuff on'],
  },
  // KSH 2018 table 2: 1 to 3 readings, a week for a diagnosis, 5 to 7 days before a visit.
  {
    ...twice,
    id: 'ksh-2018-home',
    source: '10.1186/s40885-019-0124-x',
    evidence: 'read',
    readings: [1, 3],
    days: [5, 7],
    drops: 0,
    sets: ['ksh-2013-home'],
    asks: ['within one hour of waking', 'going to bed'],
  },
]

describe('the shipped protocols against their published rows', () => {
  it.each(ROWS)('$id: readings, days, what is left out, least count and mean', (row) => {
    const { readingsPerSitting, days, leaveOut, leastReadings, ...protocol } = shippedProtocol(row.id)
    expect([readingsPerSitting.least, readingsPerSitting.asked]).toEqual(row.readings)
    expect([days.least, days.ideal]).toEqual(row.days)
    expect([leaveOut.firstDays, leaveOut.firstReading]).toEqual([row.drops, row.first])
    expect(leastReadings).toBe(row.minimum)
    expect([protocol.pooling, protocol.windowsAveraged]).toEqual([row.mean, row.windows])
    expect(protocol.sittings.map(({ name }) => name)).toEqual(['morning', 'evening'])
    expect(protocol.gapSeconds).toBe(60)
  })

  it.each(ROWS)('$id: its source, how far it was read, its thresholds and what it asks beside', (row) => {
    const protocol = shippedProtocol(row.id)
    expect(protocol.citation.text).toContain(row.source)
    expect(protocol.evidence).toBe(row.evidence)
    expect(protocol.thresholdSets).toEqual(row.sets)
    for (const words of row.asks) expect(protocol.asks.join(' ')).toContain(words)
    if (row.asks.length === 0) expect(protocol.asks).toEqual([])
  })

  it('are all of them, beside the fortnight of mornings, which has no published source', () => {
    const shipped = shippedProtocols().map(({ id }) => id)
    expect(shipped).toEqual([...ROWS.map(({ id }) => id), 'fortnight-of-mornings'].sort())
  })
})
