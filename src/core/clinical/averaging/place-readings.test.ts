import { describe, expect, it } from 'vitest'
import { homeSitting, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol } from '../../../../tests/support/shipped-profiles.ts'
import type { Finding } from '../finding.ts'
import { placeReadings } from './place-readings.ts'

const protocol = shippedProtocol('nice-ng136-home')

describe('placing readings on the patient’s calendar', () => {
  it('goes by the zone of the patient, not by the offset the source wrote', () => {
    const [placed] = place(
      'America/Denver',
      homeSitting({ at: '2026-03-03T05:30:00Z', readings: [[130, 80]] }),
    )
    expect([placed?.day, placed?.window]).toEqual(['2026-03-02', 'evening'])
  })

  it('keeps the wall clock across the hour that daylight saving takes away', () => {
    const days = place(
      'America/Denver',
      homeSitting({
        at: '2026-03-08T01:59:00-07:00',
        readings: [
          [130, 80],
          [130, 80],
        ],
      }),
      homeSitting({
        at: '2026-03-08T23:59:00-06:00',
        readings: [
          [130, 80],
          [130, 80],
        ],
      }),
    )
    expect(days.map(({ day, window }) => [day, window])).toEqual([
      ['2026-03-08', 'morning'],
      ['2026-03-08', 'morning'],
      ['2026-03-08', 'evening'],
      ['2026-03-09', 'morning'],
    ])
  })

  it('puts both passes of the repeated autumn hour on one day, in the order they were lived', () => {
    const placed = place(
      'America/Denver',
      homeSitting({ at: '2026-11-01T01:30:00-07:00', readings: [[130, 80]] }),
      homeSitting({ at: '2026-11-01T01:30:00-06:00', readings: [[130, 80]] }),
    )
    expect(placed.map(({ day, session }) => [day, session.takenAt.text.slice(-6)])).toEqual([
      ['2026-11-01', '-06:00'],
      ['2026-11-01', '-07:00'],
    ])
  })

  it('takes the sitting’s time for a reading without its own', () => {
    const { session, findings } = homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] })
    const readings = session.readings.map(({ ordinal, systolic, diastolic }) => ({
      ordinal,
      systolic,
      diastolic,
    }))
    const [placed] = place('UTC', { session: { ...session, readings }, findings })
    expect([placed?.day, placed?.window]).toEqual(['2026-03-02', 'morning'])
  })

  it('gives a finding of the sitting to every reading and a finding of one reading to that one', () => {
    const readings = [
      [130, 80],
      [130, 80],
    ] as const
    const at = '2026-03-02T07:00:00Z'
    const ofSitting = place('UTC', homeSitting({ at, readings, findings: [techniqueFinding()] }))
    expect(ofSitting.map(({ flagged }) => flagged)).toEqual([['talking'], ['talking']])
    const ofSecond = place('UTC', homeSitting({ at, readings, findings: [techniqueFinding(2)] }))
    expect(ofSecond.map(({ flagged }) => flagged)).toEqual([[], ['talking']])
  })

  it('names each finding once, whether it is of the sitting, of the reading or of both', () => {
    const findings = [techniqueFinding(), techniqueFinding(1)]
    const [placed] = place(
      'UTC',
      homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]], findings }),
    )
    expect(placed?.flagged).toEqual(['talking'])
  })

  it('flags a doubt about the numbers as well, and passes over mere information and calls for attention', () => {
    const findings: readonly Finding[] = [
      { ...techniqueFinding(), kind: 'plausibility', code: 'systolic-doubtful' },
      { ...techniqueFinding(), severity: 'information', code: 'cuff-fit-off' },
      { ...techniqueFinding(), kind: 'attention', code: 'very-high' },
    ]
    const [placed] = place(
      'UTC',
      homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[255, 80]], findings }),
    )
    expect([placed?.flagged, placed?.excludedFor]).toEqual([['systolic-doubtful'], []])
  })

  it('goes by the clinic’s policy where it has one', () => {
    const findings: readonly Finding[] = [
      techniqueFinding(),
      { ...techniqueFinding(), code: 'pain' },
      { ...techniqueFinding(), severity: 'information', code: 'cuff-fit-off' },
    ]
    const [placed] = placeReadings(
      {
        protocol,
        zone: 'UTC',
        firstDay: '2026-03-01',
        lastDay: '2026-03-31',
        policy: { talking: 'exclude', pain: 'ignore', 'cuff-fit-off': 'flag' },
      },
      [homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]], findings })],
    )
    expect([placed?.flagged, placed?.excludedFor]).toEqual([['cuff-fit-off'], ['talking']])
  })

  it('keeps what is known of the sitting: that it was withdrawn, and when it came in', () => {
    const sitting = homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] })
    const [placed] = place('UTC', { ...sitting, withdrawn: true, receivedMs: 5 })
    expect([placed?.withdrawn, placed?.receivedMs]).toEqual([true, 5])
    const [plain] = place('UTC', sitting)
    expect(plain?.withdrawn).toBe(false)
    expect(plain).not.toHaveProperty('receivedMs')
  })
})

function place(zone: string, ...sittings: Parameters<typeof placeReadings>[1]) {
  return placeReadings({ protocol, zone, firstDay: '2026-03-01', lastDay: '2026-03-31' }, sittings)
}
