import { describe, expect, it } from 'vitest'
import {
  recordingPlan,
  repeated,
  shippedRecordingRule,
  worn,
} from '../../../../tests/support/worn-recording.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import { averageRecording } from './average-recording.ts'

const plan = recordingPlan(shippedRecordingRule('chep-2017-recording'))

describe('the attempts', () => {
  const later = repeated([150, 95], 90)
  const validity = (...sittings: readonly CheckedSession[]) => averageRecording(plan, sittings, []).validity
  const part = (at: string, readings: number, attempts?: number) =>
    worn({ at, readings: repeated([130, 80], readings), ...(attempts === undefined ? {} : { attempts }) })

  it('are added up over the sessions of the recording', () => {
    expect(validity(part('2026-03-04T12:00:00Z', 4, 5), part('2026-03-04T22:00:00Z', 3, 5))).toMatchObject({
      successful: 7,
      attempts: 10,
      enoughOfAttempts: 'yes',
    })
  })

  it('are not told when one session of the recording does not tell them', () => {
    const found = validity(part('2026-03-04T12:00:00Z', 4, 5), part('2026-03-04T22:00:00Z', 3))
    expect(found.attempts).toBeUndefined()
    expect(found.enoughOfAttempts).toBe('not-told')
  })

  it('of a session that is only a copy, or of another recording, do not count', () => {
    const copy = worn({ at: '2026-03-04T12:00:00Z', id: 'copy', readings: [[130, 80]], attempts: 9 })
    expect(
      validity(part('2026-03-04T12:00:00Z', 1, 1), copy, part('2026-03-05T13:00:00Z', 3, 9)),
    ).toMatchObject({
      successful: 1,
      attempts: 1,
    })
  })

  it('are told where every inflation failed', () => {
    const failed = worn({ at: '2026-03-04T08:00:00Z', readings: repeated([null, 80], 3), attempts: 5 })
    expect(averageRecording(plan, [failed], [])).toMatchObject({
      means: [],
      validity: { successful: 0, attempts: 5, enoughOfAttempts: 'no', verdict: 'not-valid' },
    })
    expect(averageRecording(plan, [failed], [])).not.toHaveProperty('recording')
    expect(averageRecording(plan, [failed], [])).not.toHaveProperty('arm')
  })

  it('count with the readings after the 24 hours of the session that tells them', () => {
    expect(validity(part('2026-03-04T08:00:00Z', 50, 52))).toMatchObject({
      successful: 50,
      attempts: 52,
      dayReadings: 28,
      nightReadings: 20,
    })
  })

  it.each<{ what: string; other: Parameters<typeof worn>[0] }>([
    { what: 'days later', other: { at: '2026-03-07T08:00:00Z', readings: [[150, null], ...later] } },
    {
      what: 'on the other arm',
      other: { at: '2026-03-04T09:00:00Z', arm: 'right', readings: [[150, null]] },
    },
    { what: 'at the wrist', other: { at: '2026-03-04T09:00:00Z', site: 'wrist', readings: [[150, null]] } },
  ])('of a session that failed $what do not count, nor do its readings', ({ other }) => {
    const first = part('2026-03-04T08:00:00Z', 47, 80)
    const days = { ...plan, lastDay: '2026-03-10' }
    const { validity: found, leftOut } = averageRecording(days, [first, worn({ ...other, attempts: 91 })], [])
    expect(leftOut[0]?.reason).toBe('pressure-missing')
    expect(found).toMatchObject({
      successful: 47,
      attempts: 80,
      enoughOfAttempts: 'no',
      verdict: 'not-valid',
    })
  })

  it('of a session whose inflations in the recording all failed do count', () => {
    const failed = worn({ at: '2026-03-04T10:15:00Z', readings: repeated([null, 80], 2), attempts: 5 })
    expect(validity(part('2026-03-04T08:00:00Z', 7, 7), failed)).toMatchObject({
      successful: 7,
      attempts: 12,
      enoughOfAttempts: 'no',
    })
  })
})
