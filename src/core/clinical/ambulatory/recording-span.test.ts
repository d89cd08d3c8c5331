import { describe, expect, it } from 'vitest'
import {
  recordingPlan,
  repeated,
  shippedRecordingRule,
  worn,
} from '../../../../tests/support/worn-recording.ts'
import { averageRecording } from './average-recording.ts'

describe('the first of two recordings is averaged', () => {
  const days = { ...recordingPlan(shippedRecordingRule('chep-2017-recording')), lastDay: '2026-03-10' }
  const first = worn({ at: '2026-03-04T08:00:00Z', readings: repeated([128, 80], 47) })

  it.each<{ what: string; later: Partial<Parameters<typeof worn>[0]> }>([
    { what: 'on the same arm', later: {} },
    { what: 'on the other arm, with more readings', later: { arm: 'right' } },
    { what: 'on an arm that is not stated', later: { arm: 'not-stated' } },
  ])('whatever a later one is: $what', ({ later }) => {
    const second = worn({ at: '2026-03-06T08:00:00Z', readings: repeated([150, 95], 48), ...later })
    const both = averageRecording(days, [second, first], [])
    const alone = averageRecording(days, [first], [])
    expect(both).toMatchObject({ arm: 'left', means: alone.means, recording: alone.recording })
    expect(both.leftOut).toHaveLength(48)
  })

  it('also where it was worn at the wrist and the later one on the upper arm', () => {
    const wrist = worn({ at: '2026-03-04T08:00:00Z', site: 'wrist', readings: repeated([128, 80], 20) })
    const second = worn({ at: '2026-03-06T08:00:00Z', readings: repeated([150, 95], 48) })
    const average = averageRecording(days, [wrist, second], [])
    expect(average).toMatchObject({ site: 'wrist', validity: { successful: 20 } })
    expect(average.leftOut[0]).toMatchObject({
      reason: 'other-site',
      text: expect.stringMatching(/^Taken on the upper arm/),
    })
  })

  it('and begins with no inflation that failed days before, on either arm', () => {
    const failed = (arm: 'left' | 'right') =>
      worn({ at: '2026-03-04T06:00:00Z', arm, readings: repeated([null, 80], 2) })
    const second = worn({ at: '2026-03-06T08:00:00Z', readings: repeated([150, 95], 48) })
    for (const sittings of [
      [failed('left'), second],
      [failed('right'), second],
    ])
      expect(averageRecording(days, sittings, []).means).toEqual(averageRecording(days, [second], []).means)
  })

  it('on the arm with more readings of these 24 hours, not on the one of a trial before', () => {
    const trial = worn({ at: '2026-03-04T07:30:00Z', arm: 'right', readings: repeated([160, 95], 1) })
    expect(averageRecording(days, [trial, first], [])).toMatchObject({
      arm: 'left',
      validity: { successful: 47 },
    })
  })
})
