import { describe, expect, it } from 'vitest'
import { homeSitting, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import {
  recordingPlan,
  repeated,
  shippedRecordingRule,
  worn,
} from '../../../../tests/support/worn-recording.ts'
import { readInstant } from '../../basics/instant.ts'
import type { ArmGroup, SiteGroup } from '../averaging/limb-groups.ts'
import type { CheckedSession } from '../averaging/period-average.ts'
import type { Session } from '../session.ts'
import { averageRecording } from './average-recording.ts'

const rule = shippedRecordingRule('chep-2017-recording')
const plan = recordingPlan(rule)
const MICRO = 133_322_000n

function instant(text: string) {
  const read = readInstant(text)
  if (read === undefined) throw new TypeError(text)
  return read
}

function reasons(sittings: readonly CheckedSession[], changes = {}) {
  return averageRecording({ ...plan, ...changes }, sittings, []).leftOut.map(({ placed, reason }) => [
    placed.session.id,
    placed.reading.ordinal,
    reason,
  ])
}

describe('the means', () => {
  it('give every reading the same weight, over 24 hours, by day and by night', () => {
    const sittings = [
      worn({
        at: '2026-03-04T20:00:00Z',
        readings: [
          [140, 90, 80],
          [130, 80],
          [128, 79, 70],
          [127, 77, 66],
        ],
      }),
      worn({ at: '2026-03-04T23:00:00Z', readings: [[110, 70, 60]] }),
    ]
    const { means } = averageRecording(plan, sittings, [])
    expect(means.map(({ span, mean }) => [span, mean.readings])).toEqual([
      ['24-hours', 5],
      ['day', 4],
      ['night', 1],
    ])
    expect(means[0]?.mean.systolic).toEqual({ total: (140n + 130n + 128n + 127n + 110n) * MICRO, count: 5n })
    expect(means[1]?.mean.diastolic).toEqual({ total: (90n + 80n + 79n + 77n) * MICRO, count: 4n })
    // A reading without a pulse lowers only the pulse count.
    expect(means[1]?.mean.pulse).toEqual({ total: 80n + 70n + 66n, count: 3n })
  })

  it('are the same for one session with many readings and for a session each, in any order', () => {
    const together = worn({
      at: '2026-03-04T12:00:00Z',
      readings: [
        [140, 90],
        [130, 80],
        [121, 71],
      ],
    })
    const apart = [
      worn({ at: '2026-03-04T13:00:00Z', readings: [[121, 71]] }),
      worn({ at: '2026-03-04T12:00:00Z', readings: [[140, 90]] }),
      worn({ at: '2026-03-04T12:30:00Z', readings: [[130, 80]] }),
    ]
    const one = averageRecording(plan, [together], [])
    const many = averageRecording(plan, apart, [])
    expect(many.means).toEqual(one.means)
    expect(many.recording).toEqual(one.recording)
    expect(many.used.map(({ takenMs }) => takenMs)).toEqual(one.used.map(({ takenMs }) => takenMs))
  })

  it('do not exist without readings, and nothing is said of dipping', () => {
    const none = averageRecording(plan, [], [])
    expect(none).toMatchObject({ means: [], used: [], leftOut: [], received: 0 })
    expect(none.validity.verdict).toBe('not-valid')
    expect(none.recording).toBeUndefined()
    expect(none.dipping).toBeUndefined()
  })
})

describe('day and night', () => {
  it('are the rule’s hours on the patient’s clock: from inclusive, to exclusive', () => {
    const at = (time: string) => worn({ at: `2026-03-04T${time}-07:00`, readings: [[130, 80]] })
    const sittings = ['07:59:59', '08:00:00', '21:59:59', '22:00:00'].map(at)
    const { used, dayAndNightBy } = averageRecording({ ...plan, zone: 'America/Denver' }, sittings, [])
    expect(used.map(({ part }) => part)).toEqual(['night', 'day', 'day', 'night'])
    expect(dayAndNightBy).toBe('fixed-hours')
  })

  it('follow the clock on the wall over the night in which it goes forward', () => {
    // Denver, 8 March 2026: 01:59 -07:00 is followed by 03:00 -06:00; 08:00 comes an hour earlier than by UTC.
    const sittings = [
      worn({ at: '2026-03-08T13:59:00Z', readings: [[130, 80]] }),
      worn({ at: '2026-03-08T14:00:00Z', readings: [[130, 80]] }),
    ]
    const days = { zone: 'America/Denver', firstDay: '2026-03-07', lastDay: '2026-03-08' }
    expect(averageRecording({ ...plan, ...days }, sittings, []).used.map(({ part }) => part)).toEqual([
      'night',
      'day',
    ])
  })

  it('are the patient’s own where a diary is told, for readings of all sessions', () => {
    const sleep = { from: instant('2026-03-04T23:30:00Z'), to: instant('2026-03-05T05:30:00Z') }
    const at = (time: string, more: Pick<Session, 'sleep'> = {}) =>
      worn({ at: time, readings: [[130, 80]], ...more })
    const sittings = [
      at('2026-03-04T23:29:59Z', { sleep }),
      at('2026-03-04T23:30:00Z'),
      at('2026-03-05T05:29:59Z'),
      at('2026-03-05T05:30:00Z'),
    ]
    const { used, dayAndNightBy } = averageRecording(plan, sittings, [])
    expect(used.map(({ part }) => part)).toEqual(['day', 'night', 'night', 'day'])
    expect(dayAndNightBy).toBe('diary')
  })

  it('do not go by a diary of other days, of a withdrawn session or of another setting', () => {
    const sleep = { from: instant('2026-03-04T10:00:00Z'), to: instant('2026-03-04T14:00:00Z') }
    const sittings = [
      worn({ at: '2026-03-04T12:00:00Z', readings: [[130, 80]] }),
      worn({ at: '2026-03-09T12:00:00Z', readings: [[130, 80]], sleep }),
      { ...worn({ at: '2026-03-04T12:30:00Z', readings: [[130, 80]], sleep }), withdrawn: true },
      homeSitting({ at: '2026-03-04T13:00:00Z', readings: [[130, 80]], sleep }),
    ]
    expect(averageRecording(plan, sittings, [])).toMatchObject({
      dayAndNightBy: 'fixed-hours',
      used: [{ part: 'day' }],
    })
  })

  it('do not go by a diary of another recording, on a later day of the period', () => {
    const sleep = { from: instant('2026-03-06T23:00:00Z'), to: instant('2026-03-07T06:00:00Z') }
    const first = worn({ at: '2026-03-04T08:00:00Z', readings: repeated([130, 80], 47) })
    const days = { ...plan, lastDay: '2026-03-08' }
    const withDiary = (at: string) => worn({ at, readings: repeated([150, 95], 20), sleep })
    const alone = averageRecording(days, [first], [])
    const both = averageRecording(days, [first, withDiary('2026-03-06T08:00:00Z')], [])
    expect([both.means, both.dayAndNightBy]).toEqual([alone.means, 'fixed-hours'])
    expect(both.used.filter(({ part }) => part === 'night')).toHaveLength(19)
  })

  it('may be those of someone who is up past midnight: a day whose end comes before its start', () => {
    const late = { ...rule, day: { from: '14:00', to: '04:00' } }
    const at = (time: string) => worn({ at: time, readings: [[130, 80]] })
    const sittings = [
      at('2026-03-04T13:59:00Z'),
      at('2026-03-04T14:00:00Z'),
      at('2026-03-05T03:59:00Z'),
      at('2026-03-05T04:00:00Z'),
    ]
    expect(averageRecording({ ...plan, rule: late }, sittings, []).used.map(({ part }) => part)).toEqual([
      'night',
      'day',
      'day',
      'night',
    ])
  })
})

describe('what is left out', () => {
  it('says why, one reason each', () => {
    const timeless = worn({
      at: '2026-03-04T12:00:00Z',
      id: 'timeless',
      readings: [
        [130, 80],
        [131, 81],
      ],
    })
    const readings = timeless.session.readings.map(({ takenAt: _, ...reading }) => reading)
    const sittings = [
      { ...worn({ at: '2026-03-04T09:00:00Z', id: 'back', readings: [[130, 80]] }), withdrawn: true },
      worn({ at: '2026-03-03T09:00:00Z', id: 'early', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-04T09:30:00Z', id: 'home', readings: [[130, 80]] }),
      { ...timeless, session: { ...timeless.session, readings } },
      worn({
        at: '2026-03-04T13:00:00Z',
        id: 'failed',
        readings: [
          [130, null],
          [null, 80],
        ],
      }),
      worn({ at: '2026-03-04T14:00:00Z', id: 'right', arm: 'right', readings: [[130, 80]] }),
      worn({ at: '2026-03-04T15:00:00Z', id: 'wrist', site: 'wrist', readings: [[130, 80]] }),
      worn({
        at: '2026-03-04T16:00:00Z',
        id: 'moved',
        readings: [[130, 80]],
        findings: [techniqueFinding(1)],
      }),
      worn({
        at: '2026-03-04T17:00:00Z',
        id: 'kept',
        readings: [[130, 80]],
        findings: [techniqueFinding(2)],
      }),
      worn({ at: '2026-03-05T11:59:59Z', id: 'last', readings: [[130, 80]] }),
      worn({ at: '2026-03-05T12:00:00Z', id: 'next', readings: [[130, 80]] }),
    ]
    expect(reasons(sittings, { policy: { talking: 'exclude' } })).toEqual([
      ['early', 1, 'outside-period'],
      ['back', 1, 'withdrawn'],
      ['home', 1, 'other-setting'],
      ['timeless', 2, 'time-missing'],
      ['failed', 1, 'pressure-missing'],
      ['failed', 2, 'pressure-missing'],
      ['right', 1, 'other-arm'],
      ['wrist', 1, 'other-site'],
      ['moved', 1, 'excluded-by-policy'],
      ['next', 1, 'outside-recording'],
    ])
    const { used, leftOut, received } = averageRecording(plan, sittings, [])
    expect(used.length + leftOut.length).toBe(received)
    for (const { text } of leftOut) expect(text).toMatch(/\.$/)
  })

  it('is a reading sent again with the same moment and numbers, and not one with other numbers', () => {
    const sittings = [
      worn({ at: '2026-03-04T12:00:00Z', id: 'a', readings: [[130, 80]] }),
      worn({ at: '2026-03-04T12:00:00Z', id: 'b', readings: [[130, 80]] }),
      worn({ at: '2026-03-04T12:00:00Z', id: 'c', readings: [[131, 80]] }),
    ]
    expect(reasons(sittings)).toEqual([['b', 1, 'same-reading-again']])
  })

  it('is everything from 24 hours after the first inflation on, also when that one failed', () => {
    const sittings = [
      worn({ at: '2026-03-04T08:00:00Z', id: 'failed', readings: [[null, 80]] }),
      worn({ at: '2026-03-04T09:00:00Z', id: 'first', readings: [[130, 80]] }),
      worn({ at: '2026-03-05T07:59:59Z', id: 'in', readings: [[130, 80]] }),
      worn({ at: '2026-03-05T08:00:00Z', id: 'out', readings: [[130, 80]] }),
    ]
    expect(reasons(sittings)).toEqual([
      ['failed', 1, 'pressure-missing'],
      ['out', 1, 'outside-recording'],
    ])
  })

  it('is the arm with fewer readings, and on a tie the one that was measured later', () => {
    const at = (time: string, arm: 'left' | 'right') =>
      worn({ at: time, id: `${arm} ${time}`, arm, readings: [[130, 80]] })
    const tie = [at('2026-03-04T12:00:00Z', 'right'), at('2026-03-04T12:30:00Z', 'left')]
    expect(averageRecording(plan, tie, []).arm).toBe('right')
    expect(averageRecording(plan, [...tie, at('2026-03-04T13:00:00Z', 'left')], []).arm).toBe('left')
  })
})

describe('a recording whose arm or site is not stated', () => {
  const at = (time: string, changes: { readonly arm?: ArmGroup; readonly site?: SiteGroup }) =>
    worn({ at: `2026-03-04T${time}:00Z`, id: time, readings: [[130, 80]], ...changes })

  it('is averaged, and claims neither', () => {
    const average = averageRecording(plan, [at('12:00', { arm: 'not-stated', site: 'not-stated' })], [])
    expect(average.used).toHaveLength(1)
    expect(average).not.toHaveProperty('arm')
    expect(average).not.toHaveProperty('site')
  })

  it('is one of its own beside stated ones, which go first on a tie', () => {
    const unstated = [at('12:00', { arm: 'not-stated' }), at('12:30', { arm: 'right' })]
    expect(averageRecording(plan, unstated, []).arm).toBe('right')
    expect(reasons(unstated)).toEqual([['12:00', 1, 'arm-not-stated']])
    const more = [...unstated, at('13:00', { arm: 'not-stated' })]
    expect(averageRecording(plan, more, [])).not.toHaveProperty('arm')
    expect(reasons(more)).toEqual([['12:30', 1, 'arm-not-stated']])
    for (const { text } of averageRecording(plan, more, []).leftOut)
      expect(text).toMatch(/^Its arm is stated, /)
  })

  it('gives way to the upper arm, and goes before the wrist', () => {
    const low = [at('12:00', { site: 'wrist' }), at('12:30', { site: 'not-stated' })]
    expect(reasons(low)).toEqual([['12:00', 1, 'site-not-stated']])
    expect(reasons([...low, at('13:00', {})])).toEqual([
      ['12:00', 1, 'other-site'],
      ['12:30', 1, 'site-not-stated'],
    ])
  })
})
