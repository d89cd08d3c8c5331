import { describe, expect, it } from 'vitest'
import { homeSitting, type SittingParts, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../attention/attention-limits.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { CITATIONS } from '../citations.ts'
import type { FindingPolicy } from '../finding-policy.ts'
import type { Protocol } from '../protocol/protocol.ts'
import { CAUTION } from './caution.ts'
import { periodSummary } from './period-summary.ts'
import { reportPeriod } from './report-period.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepAll: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }

describe('the summary of a period', () => {
  it('survives JSON unchanged', () => {
    const summary = summaryOf(nice, [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 90, 70]] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80, 72]] },
      { at: '2026-03-03T07:10:00Z', readings: [[130, 80, 72]], arm: 'right' },
      { at: '2026-03-04T07:10:00Z', readings: [[190, 80, 72]], setting: 'clinic' },
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
    expect(whole.statistics?.systolic.sd.readings).toBe(0.7)
  })

  it('names each reading left out in a few words, and each rule once without the source of the protocol', () => {
    const { leftOut, leftOutRules, readings } = summaryOf(nice, [
      {
        at: '2026-03-02T07:00:00Z',
        id: 's-1',
        readings: [
          [150, 90],
          [148, 90],
        ],
      },
    ])
    expect(readings).toEqual({ used: 0, received: 2 })
    const text = 'Taken on the first days of measuring.'
    const place = { session: 's-1', day: '2026-03-02', reason: 'first-day', text }
    expect(leftOut).toEqual([
      { ...place, reading: 1 },
      { ...place, reading: 2 },
    ])
    expect(leftOutRules).toEqual([
      {
        reason: 'first-day',
        readings: 2,
        text: 'Taken on the first day of measuring. The rule leaves the first day out.',
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
      windowsAveraged: 'together',
    })
    expect(summary.caution).toBe(CAUTION)
    expect(summary).not.toHaveProperty('mean')
    expect(summary).not.toHaveProperty('statistics')
  })

  it('gives each window its labels where the protocol averages windows apart', () => {
    const parts = [
      { at: '2026-03-02T07:00:00Z', readings: [[140, 80]] },
      { at: '2026-03-02T20:00:00Z', readings: [[120, 70]] },
    ] as const
    const labels = (protocol: Protocol) =>
      summaryOf(protocol, parts).byWindow.map((one) => [one.window, ...one.labels.map(({ label }) => label)])
    expect(labels({ ...keepAll, windowsAveraged: 'apart' })).toEqual([
      ['morning', 'stage 1 range, from 135/85'],
      ['evening', 'below 135/85'],
    ])
    expect(labels(keepAll)).toEqual([['morning'], ['evening']])
  })

  it('counts for each finding what the clinic’s policy left out, and keeps the sensitivity pair', () => {
    const parts = [
      { at: '2026-03-02T07:00:00Z', readings: [[150, 80]], findings: [techniqueFinding()] },
      { at: '2026-03-03T07:00:00Z', readings: [[130, 80]] },
    ] as const
    const excluded = summaryOf(keepAll, parts, 1, { talking: 'exclude' })
    expect(excluded.excludedByPolicy).toEqual([{ finding: 'talking', readings: 1 }])
    expect(excluded.leftOut[0]).toMatchObject({ reason: 'excluded-by-policy', findings: ['talking'] })
    expect(excluded.sensitivity).toMatchObject({ flaggedReadings: 0, mean: { systolicMmHg: 130 } })
    expect(summaryOf(keepAll, parts).sensitivity).toMatchObject({
      flaggedReadings: 1,
      mean: { systolicMmHg: 130 },
    })
  })

  it('names the source of everything that stands beside the average, and how far it was read', () => {
    const summary = summaryOf(keepAll, [
      { at: '2026-03-02T07:00:00Z', readings: [[190, 80]] },
      { at: '2026-03-02T07:10:00Z', readings: [[150, 80]], arm: 'right' },
      { at: '2026-03-04T07:10:00Z', readings: [[150, 90]], setting: 'clinic' },
    ])
    const sourced = [
      ...(summary.interArm?.limits ?? []),
      ...summary.clinic.correspondence,
      ...summary.clinic.patterns,
      ...summary.attention,
    ]
    expect(sourced.length).toBeGreaterThan(5)
    for (const { citation, source, evidence } of sourced) {
      expect([source, evidence]).toEqual([CITATIONS[citation].text, CITATIONS[citation].evidence])
    }
    expect(summary.clinic).toMatchObject({
      mean: { systolicMmHg: 150, readings: 1 },
      arm: 'left',
      site: 'upper-arm',
    })
    expect(summary.attention.map(({ code }) => code)).toContain('very-high')
  })
})

function summaryOf(
  protocol: Protocol,
  parts: readonly SittingParts[],
  decimals: 0 | 1 = 1,
  policy: FindingPolicy = {},
) {
  const plan = { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08', policy }
  const sittings: readonly CheckedSession[] = parts.map(homeSitting)
  return periodSummary(
    reportPeriod(plan, sittings, shippedThresholdSets(), DEFAULT_ATTENTION_LIMITS),
    decimals,
  )
}
