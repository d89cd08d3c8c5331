import { describe, expect, it } from 'vitest'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../../../../tests/fixtures/published-week.ts'
import { homeSitting, type SittingParts, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import type { Protocol } from '../protocol/protocol.ts'
import { averageNarrative } from './average-narrative.ts'
import { averagePeriod } from './average-period.ts'
import { averageSummary } from './average-summary.ts'
import { CAUTION } from './caution.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepAll: Protocol = { ...nice, leaveOut: { firstDays: 0, firstReading: 'keep' } }

describe('the narrative of an average', () => {
  it('tells the published week as a colleague would', () => {
    const plan = {
      protocol: nice,
      zone: PUBLISHED_ZONE,
      firstDay: PUBLISHED_FIRST_DAY,
      lastDay: PUBLISHED_LAST_DAY,
    }
    expect(
      averageNarrative(averageSummary(averagePeriod(plan, publishedWeek, shippedThresholdSets()), 1)),
    ).toEqual([
      'Home average 135.4/87.5 mmHg, 2023-03-01 to 2023-03-07 (America/Anchorage): mean of 24 of 28 readings received, on 6 days, left upper arm.',
      'No pulse was recorded; mean arterial pressure 103.5 mmHg, computed.',
      'Rule: NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out. Source: NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8.',
      'Morning 138.8/89.6 (12 readings), evening 132.0/85.5 (12 readings).',
      'Left out: 4 of the first day (2023-03-01).',
      'Taken on the first day of measuring. The protocol "NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out" leaves the first day out. Source: NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8.',
      'NICE NG136 home average: stage 1 range, from 135/85 (unrounded mean; the worse of systolic and diastolic).',
      'Enough days: measured on 7, the rule asks for at least 4. The rule states no least number of readings.',
      CAUTION,
    ])
  })

  it('groups what was left out by reason, each rule once', () => {
    const lines = told(nice, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [150, 90],
          [150, 90],
        ],
      },
      {
        at: '2026-03-03T07:00:00Z',
        readings: [
          [130, 80],
          [130, null],
        ],
      },
      { at: '2026-03-03T07:10:00Z', readings: [[128, 80]], arm: 'right', setting: 'clinic' },
      { at: '2026-03-04T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(lines).toContain(
      'Left out: 2 of the first day (2026-03-02); 1 not taken at home (2026-03-03); 1 without both pressures (2026-03-03).',
    )
    expect(lines.filter((line) => line.startsWith('Taken on the first day'))).toHaveLength(1)
  })

  it('says that nothing was left out', () => {
    expect(told(keepAll, [{ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }])).toContain(
      'Nothing was left out.',
    )
  })

  it('says what better technique would change', () => {
    const lines = told(keepAll, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [150, 80, 71],
          [140, 80, 72],
        ],
        findings: [techniqueFinding()],
      },
      {
        at: '2026-03-02T19:00:00Z',
        readings: [
          [128, 80],
          [126, 80],
        ],
      },
    ])
    expect(lines).toContain(
      '2 averaged readings have a remark on technique and are kept; without them: 127.0/80.0 mmHg, which changes the label: NICE NG136 home average: below 135/85.',
    )
    expect(lines).toContain('Pulse 71.5 per minute; mean arterial pressure 98.7 mmHg, computed.')
  })

  it('says when technique would not change the label, and when there is nothing to compare with', () => {
    const one = { at: '2026-03-02T07:00:00Z', readings: [[130, 80]], findings: [techniqueFinding()] } as const
    const two = { at: '2026-03-02T19:00:00Z', readings: [[120, 80]] } as const
    expect(told(keepAll, [one, two])).toContain(
      '1 averaged reading has a remark on technique and is kept; without it: 120.0/80.0 mmHg, the same label.',
    )
    expect(told(keepAll, [one])).toContain(
      '1 averaged reading has a remark on technique and is kept; no reading is without one, so there is nothing to compare with.',
    )
  })

  it.each([
    {
      right: 119,
      line: 'Left less right arm +21.0/0.0 mmHg (2 and 1 readings, one arm after the other): above 20 mmHg, the limit of common practice, and above the 15 mmHg at which NICE NG136 1.2.1 measures both arms again.',
    },
    {
      right: 160,
      line: 'Left less right arm -20.0/0.0 mmHg (2 and 1 readings, one arm after the other): above the 15 mmHg at which NICE NG136 1.2.1 measures both arms again.',
    },
    {
      right: 140,
      line: 'Left less right arm 0.0/0.0 mmHg (2 and 1 readings, one arm after the other): within the usual limits.',
    },
  ])('compares 140 on the left arm with $right on the right', ({ right, line }) => {
    const lines = told(keepAll, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [140, 80],
          [140, 80],
        ],
      },
      { at: '2026-03-02T07:10:00Z', readings: [[right, 80]], arm: 'right' },
    ])
    expect(lines).toContain(line)
  })

  it('says what is too few, days and readings apart', () => {
    const lines = told({ ...keepAll, leastReadings: 12 }, [
      { at: '2026-03-02T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(lines).toContain(
      'Too few days: measured on 1, the rule asks for at least 4. Too few readings: 1 count, the rule asks for at least 12.',
    )
  })

  it('says plainly that no reading counts, and gives no number', () => {
    const [first, second] = told(nice, [{ at: '2026-03-02T07:00:00Z', readings: [[151, 92]] }])
    expect(first).toBe(
      'No home average for 2026-03-02 to 2026-03-08 (UTC): none of the 1 reading received counts.',
    )
    expect(second).toMatch(/^Rule: /)
  })

  it('marks a source that is only remembered', () => {
    const lines = told({ ...keepAll, evidence: 'memory' }, [
      { at: '2026-03-02T07:00:00Z', readings: [[130, 80]] },
    ])
    expect(lines.find((line) => line.startsWith('Rule: '))).toMatch(/\(from memory, unverified\)\.$/)
  })

  it('always ends with the caution', () => {
    expect(told(nice, []).at(-1)).toBe(CAUTION)
    expect(CAUTION).toMatch(/not a diagnosis/)
  })
})

describe('the summary of an average', () => {
  it('survives JSON unchanged', () => {
    const summary = summaryOf(nice, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90, 70]] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80, 72]] },
      { at: '2026-03-03T07:10:00Z', readings: [[130, 80, 72]], arm: 'right' },
    ])
    expect(JSON.parse(JSON.stringify(summary))).toEqual(summary)
  })

  it('rounds once, half away from zero, to the digits asked for, and labels by the unrounded mean', () => {
    const parts: SittingParts[] = [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [134, 84],
          [135, 85],
        ],
      },
    ]
    const tenth = summaryOf(keepAll, parts)
    expect(tenth.mean).toEqual({
      systolicMmHg: 134.5,
      diastolicMmHg: 84.5,
      meanArterialMmHg: 101.2,
      readings: 2,
    })
    const whole = summaryOf(keepAll, parts, 0)
    expect(whole.mean).toEqual({ systolicMmHg: 135, diastolicMmHg: 85, meanArterialMmHg: 101, readings: 2 })
    expect(whole.labels.map(({ label }) => label)).toEqual(['below 135/85'])
  })

  it('names each reading left out by session, place and day', () => {
    const { leftOut, readings } = summaryOf(nice, [
      { at: '2026-03-02T07:00:00Z', id: 's-1', readings: [[150, 90]] },
    ])
    expect(readings).toEqual({ used: 0, received: 1 })
    expect(leftOut).toEqual([
      {
        session: 's-1',
        reading: 1,
        day: '2026-03-02',
        reason: 'first-day',
        text: expect.stringMatching(/^Taken on the first day/),
      },
    ])
  })

  it('carries what the protocol file settles, and the caution', () => {
    const summary = summaryOf(nice, [])
    expect(summary.protocol).toEqual({
      id: 'nice-ng136-home',
      title: nice.title,
      citation: nice.citation,
      evidence: 'read',
      settledHere: nice.settledHere,
    })
    expect(summary.caution).toBe(CAUTION)
    expect(summary).not.toHaveProperty('mean')
  })
})

function summaryOf(protocol: Protocol, parts: readonly SittingParts[], decimals: 0 | 1 = 1) {
  const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
  return averageSummary(averagePeriod(plan, parts.map(homeSitting), shippedThresholdSets()), decimals)
}

function told(protocol: Protocol, parts: readonly SittingParts[]): readonly string[] {
  return averageNarrative(summaryOf(protocol, parts))
}
