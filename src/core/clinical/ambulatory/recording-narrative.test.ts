import { describe, expect, it } from 'vitest'
import { shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import {
  dayAndNight,
  recordingPlan,
  repeated,
  shippedRecordingRule,
  worn,
} from '../../../../tests/support/worn-recording.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../attention/attention-limits.ts'
import { CAUTION } from '../report/caution.ts'
import { averageRecording } from './average-recording.ts'
import { recordingNarrative } from './recording-narrative.ts'
import { recordingSummary } from './recording-summary.ts'

const chep = recordingPlan(shippedRecordingRule('chep-2017-recording'), 'America/Denver')
const nice = recordingPlan(shippedRecordingRule('nice-ng136-recording'))

function recorded(plan = { ...chep, zone: 'UTC' }) {
  const sittings = [
    ...dayAndNight({ numbers: [135, 85, 71], times: 24 }, { numbers: [121.5, 70, 60], times: 7 }),
    worn({ at: '2026-03-05T08:30:00Z', readings: [[150, 90]] }),
  ]
  return recordingSummary(
    averageRecording(plan, sittings, shippedThresholdSets()),
    DEFAULT_ATTENTION_LIMITS.high,
    1,
  )
}

describe('a recording in sentences', () => {
  it('says the means, the rule, whether it is enough, dipping, labels and what was left out', () => {
    const lines = recordingNarrative(recorded())
    expect(lines[0]).toBe(
      '24-hour recording, 2026-03-04 08:00 to 2026-03-05 01:00 (UTC): 31 of 32 readings received are averaged, left upper arm.',
    )
    // (24 x 135 + 7 x 121.5) / 31 = 131.95, (24 x 85 + 7 x 70) / 31 = 81.61, (24 x 71 + 7 x 60) / 31 = 68.52
    expect(lines.slice(1, 4)).toEqual([
      '24 hours: 132.0/81.6 mmHg, mean of 31 readings; pulse 68.5 per minute.',
      'Day: 135.0/85.0 mmHg, mean of 24 readings; pulse 71.0 per minute.',
      'Night: 121.5/70.0 mmHg, mean of 7 readings; pulse 60.0 per minute.',
    ])
    const text = lines.join('\n')
    expect(text).toContain('Day and night by fixed hours, because no times of sleep were told.')
    expect(text).toContain('weighted by the time between readings exist and are not used')
    expect(text).toContain(
      'Whether it is enough for the rule is not known: the number of attempts was not told (the rule asks for at least 70 %), 24 day readings (at least 20) and 7 night readings (at least 7).',
    )
    expect(text).toContain(
      'At night systolic falls by 10.0 % of the day, which, unrounded, is called dipper.',
    )
    expect(text).toContain('32 % of people change their class (PMC7575032)')
    expect(text).toContain('KSH 2013 daytime ambulatory average, day: at or above 135/85')
    expect(text).toContain('1 reading: Taken 24 hours or more after the recording began.')
    expect(lines.at(-1)).toBe(CAUTION)
  })

  it('says labels and very high readings before the rule and whether it is enough', () => {
    const sittings = dayAndNight({ numbers: [190, 85], times: 24 }, { numbers: [120, 70], times: 7 })
    const average = averageRecording({ ...chep, zone: 'UTC' }, sittings, shippedThresholdSets())
    const lines = recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 1))
    expect(lines.slice(4, 9).map((line) => line.match(/^\w+ \w+|^\w+/)?.[0])).toEqual([
      'KSH 2013',
      'KSH 2013',
      'KSH 2013',
      'For attention',
      'Rule',
    ])
    expect(lines[9]).toMatch(/^Whether it is enough for the rule is not known: /)
  })

  it('says of how many enrolments its readings are, when it is more than one', () => {
    const at = (time: string, subject: string) => {
      const one = worn({ at: `2026-03-04T${time}:00Z`, readings: [[130, 80]] })
      return { ...one, session: { ...one.session, subject } }
    }
    const said = (...subjects: readonly [string, string]) => {
      const sittings = [at('10:00', subjects[0]), at('10:30', subjects[1])]
      const average = averageRecording({ ...chep, zone: 'UTC' }, sittings, shippedThresholdSets())
      return recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 1)).filter((line) =>
        line.includes('enrolments'),
      )
    }
    expect(said('HW-1', 'HW-1')).toEqual([])
    expect(said('HW-1', 'HW-2')).toEqual(['Readings of 2 enrolments of this patient are averaged together.'])
  })

  it('says what a rule without a night leaves out, and nothing of dipping', () => {
    const text = recordingNarrative(recorded(nice)).join('\n')
    expect(text).toContain('Enough for the rule: 24 day readings (at least 14).')
    expect(text).toContain('7 readings: Not of the part of the day that is averaged.')
    expect(text).not.toContain('At night systolic')
    expect(text).not.toContain('24 hours:')
  })

  it('says that pressure rises where it does', () => {
    const sittings = dayAndNight({ numbers: [120, 80], times: 20 }, { numbers: [126, 82], times: 7 })
    const average = averageRecording({ ...chep, zone: 'UTC' }, sittings, [])
    expect(recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 0)).join()).toContain(
      'At night systolic rises by 5.0 % of the day, which, unrounded, is called riser.',
    )
  })

  // A night of 117.02 after a day of 130 falls by 9.98 %, one of 130.03 rises by 0.02 %.
  it.each([
    {
      night: [[118, 80], ...repeated([117, 80], 49)],
      said: 'At night systolic falls by 10.0 % of the day, which, unrounded, is called non-dipper.',
    },
    {
      night: [[131, 80], ...repeated([130, 80], 34)],
      said: 'At night systolic rises by 0.0 % of the day, which, unrounded, is called riser.',
    },
  ] as const)(
    'says of an edge that is printed and not reached that the class is unrounded: $said',
    ({ night, said }) => {
      const sittings = [
        worn({ at: '2026-03-04T08:00:00Z', gapSeconds: 600, readings: repeated([130, 80], 20) }),
        worn({ at: '2026-03-04T22:00:00Z', gapSeconds: 600, readings: night }),
      ]
      const average = averageRecording({ ...chep, zone: 'UTC' }, sittings, [])
      const lines = recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 1))
      expect(lines.join('\n')).toContain(said)
    },
  )

  it('says the share of attempts where it is told, and calls nobody by too few readings of a day or a night', () => {
    const sittings = dayAndNight(
      { numbers: [120, 80], times: 20, attempts: 30 },
      { numbers: [126, 82], times: 1, attempts: 1 },
    )
    const average = averageRecording({ ...chep, zone: 'UTC' }, sittings, [])
    const text = recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 0)).join('\n')
    expect(text).toContain(
      'Not enough for the rule: 21 of 31 attempts succeeded (the rule asks for at least 70 %)',
    )
    expect(text).toContain('Night: 126/82 mmHg, mean of 1 reading; no pulse recorded.')
    expect(text).not.toContain('At night systolic')
    expect(text).toContain('Nothing was left out.')
  })

  it('says that nothing counts where nothing does', () => {
    const [first] = recordingNarrative(
      recordingSummary(averageRecording(chep, [], []), DEFAULT_ATTENTION_LIMITS.high, 1),
    )
    expect(first).toBe(
      'No mean of a 24-hour recording for 2026-03-04 to 2026-03-05 (America/Denver): none of the 0 readings received counts.',
    )
  })
})

it('is plain JSON, with nothing that JSON would lose', () => {
  const summary = recorded()
  expect(JSON.parse(JSON.stringify(summary))).toEqual(summary)
})
