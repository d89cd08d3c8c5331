import { describe, expect, it } from 'vitest'
import {
  PUBLISHED_FIRST_DAY,
  PUBLISHED_LAST_DAY,
  PUBLISHED_ZONE,
  publishedWeek,
} from '../../../../tests/fixtures/published-week.ts'
import { homeSitting, type SittingParts, techniqueFinding } from '../../../../tests/support/home-sitting.ts'
import { shippedProtocol, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import { repeated } from '../../../../tests/support/worn-recording.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../attention/attention-limits.ts'
import type { CheckedSession, PeriodPlan } from '../averaging/period-average.ts'
import type { Protocol } from '../protocol/protocol.ts'
import { CAUTION } from './caution.ts'
import { periodNarrative } from './period-narrative.ts'
import { periodSummary } from './period-summary.ts'
import { reportPeriod } from './report-period.ts'

const nice = shippedProtocol('nice-ng136-home')
const keepAll: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }
const oneDay: Protocol = { ...keepAll, days: { ...nice.days, least: 1 } }
const DAYS = ['02', '03', '04', '05', '06', '07', '08'].map((day) => `2026-03-${day}`)

describe('the note of a period', () => {
  // Worked out apart from this code: standard deviations of the 24 readings 11.36/5.97; the six days' means give
  // 124.90 to 145.93 and 82.71 to 92.37 by Student's t; the median of the 15 slopes between days is -4.
  it('tells the published week as a colleague would, in a dozen lines', () => {
    const plan = {
      protocol: nice,
      zone: PUBLISHED_ZONE,
      firstDay: PUBLISHED_FIRST_DAY,
      lastDay: PUBLISHED_LAST_DAY,
    }
    expect(noteOf(plan, publishedWeek)).toEqual([
      'Home average 135.4/87.5 mmHg, 2023-03-01 to 2023-03-07 (America/Anchorage): mean of 24 of 28 readings received, on 6 days, left upper arm.',
      'NICE NG136 home average: stage 1 range, from 135/85 (unrounded mean; the worse of systolic and diastolic).',
      'Rule: NICE NG136 home monitoring: 4 to 7 days, twice a day, first day left out. Source: NICE guideline NG136, Hypertension in adults: diagnosis and management, 2019, amended 2022 and 2023, recommendations 1.2.7 and 1.2.8.',
      'Schedule kept: all 14 sittings. Enough days: measured on 7, the rule asks for at least 4.',
      'Left out: 4 of the first day (2023-03-01).',
      'Taken on the first day of measuring. The rule leaves the first day out.',
      'Morning 138.8/89.6 (12 readings), evening 132.0/85.5 (12 readings).',
      'No pulse was recorded; mean arterial pressure 103.5 mmHg, computed.',
      'Single readings spread about 11.4/6.0 mmHg around the mean (standard deviation); going by how 6 days differ, the mean of such days lies between 124.9 and 145.9 systolic and between 82.7 and 92.4 diastolic (95 % interval).',
      'Over the period systolic fell by about 4.0 mmHg a day (95 % interval 0.5 to 13.0, 6 days).',
      expect.stringMatching(
        /^For context: a home mean from 135 systolic or from 85 diastolic on corresponds to 140\/90 at the clinic, 135\/85 by day, 120\/70 by night and 130\/80 over 24 hours \(ACC\/AHA .*2017.*\)\.$/,
      ),
      CAUTION,
    ])
  })

  it('says of an arm that the plan asks for and nobody measured that this is why there is no average', () => {
    const plan = {
      protocol: nice,
      zone: 'UTC',
      firstDay: '2026-03-02',
      lastDay: '2026-03-02',
      arm: 'right',
    } as const
    const twice = [
      [130, 80],
      [128, 78],
    ] as const
    const [value, ...rest] = noteOf(plan, [
      homeSitting({ at: '2026-03-02T07:00:00Z', readings: twice }),
      homeSitting({ at: '2026-03-02T19:00:00Z', readings: twice }),
    ])
    expect(value).toBe(
      'No home average for 2026-03-02 to 2026-03-02 (UTC): none of the 4 readings received counts.',
    )
    expect(rest).toContain(
      'Taken on the left arm, and the plan asks for the right one. Rule of this gateway: arms are never pooled.',
    )
    expect(rest).toContain(
      'Schedule kept: all 2 sittings. Too few days: none with a reading that counts, the rule asks for at least 4.',
    )
    expect(rest.join(' ')).not.toMatch(/than the one averaged|measured on 0/)
  })

  it.each<{ stated: Pick<SittingParts, 'arm' | 'site'>; said: string }>([
    { stated: {}, said: 'left upper arm' },
    { stated: { arm: 'right', site: 'not-stated' }, said: 'right arm, site not stated' },
    { stated: { arm: 'not-stated', site: 'wrist' }, said: 'wrist, side not stated' },
    { stated: { arm: 'not-stated', site: 'not-stated' }, said: 'arm and site not stated' },
  ])('says where it was measured as far as it is stated: $said', ({ stated, said }) => {
    const plan = { protocol: keepAll, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
    const [value] = noteOf(plan, [
      homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[130, 80]], ...stated }),
    ])
    expect(value).toMatch(new RegExp(`, on 1 day, ${said}\\.$`))
  })

  it('says of readings of no stated arm beside those of a stated one that they are left out for it', () => {
    const plan = { protocol: keepAll, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
    const note = noteOf(plan, [
      homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[130, 80]] }),
      homeSitting({ at: '2026-03-03T07:10:00Z', readings: [[160, 99]], arm: 'not-stated' }),
    ])
    expect(note).toContain('Left out: 1 not known to be of the arm averaged (2026-03-03).')
    expect(note).toContain(
      'Its source did not state the arm, which the readings averaged do state. Rule of this gateway: arms are never pooled and never guessed.',
    )
  })

  // By hand: (12 x 128 + 13 x 126 + 6 x 125 + 7 x 124) / 38 = 126.105 and (12 x 78 + 13 x 76 + 13 x 74) / 38 = 75.947.
  it('tells a fortnight of mornings: three readings each, one first reading left out, one morning missed', () => {
    const fortnight = shippedProtocol('fortnight-of-mornings')
    const mornings = Array.from({ length: 14 }, (_, index) => index + 1).flatMap((day): SittingParts[] =>
      day === 9
        ? []
        : [
            {
              at: `2026-03-${String(day).padStart(2, '0')}T07:00:00Z`,
              readings: [
                [day === 5 ? 145 : 128, 78, 64],
                [126, 76, 62],
                [124 + (day % 2), 74, 60],
              ],
            },
          ],
    )
    const plan = { protocol: fortnight, zone: 'UTC', firstDay: '2026-03-01', lastDay: '2026-03-14' }
    const lines = noteOf(plan, mornings.map(homeSitting))
    expect(lines[0]).toMatch(
      /^Home average 126\.1\/75\.9 mmHg, 2026-03-01 to 2026-03-14 \(UTC\): mean of 38 of 39 readings/,
    )
    expect(lines).toContain('Left out: 1 as first of their sitting (2026-03-05).')
    expect(lines).toContain(
      'First reading of its sitting, its systolic more than 10 mmHg above the mean of the others. The rule then leaves it out.',
    )
    expect(lines).toContain(
      'Schedule: 13 of 14 sittings held; no readings on 2026-03-09. Too few days: measured on 13, the rule asks for at least 14.',
    )
    expect(lines.some((line) => line.startsWith('Morning '))).toBe(false)
    expect(lines.length).toBeLessThanOrEqual(13)
  })

  it('tells a troubled period: what was taken back, left out by the clinic, compared, typed and very high', () => {
    const sittings = DAYS.flatMap((day, index): CheckedSession[] =>
      index === 3
        ? [{ ...homeSitting({ at: `${day}T20:00:00Z`, readings: [[120, 80]] }), withdrawn: true }]
        : [
            homeSitting({
              at: `${day}T07:00:00Z`,
              readings: [
                [184 + index, 110, 70],
                [150, 90, 70],
              ],
              findings: index === 1 ? [techniqueFinding()] : [],
              entry: 'typed',
            }),
            homeSitting({ at: `${day}T07:10:00Z`, arm: 'right', readings: [[130, 90]], entry: 'typed' }),
            homeSitting({ at: `${day}T12:10:00Z`, setting: 'clinic', readings: [[160, 96]] }),
          ],
    )
    const lines = noteOf({ ...week(nice), policy: { talking: 'exclude' } }, sittings)
    expect(lines).toContain(
      'Left out: 2 of the first day (2026-03-02); 6 of the other arm (6 days, 2026-03-02 to 2026-03-08); 6 not taken at home (6 days, 2026-03-02 to 2026-03-08); 2 by the clinic’s own rule (2026-03-03); 1 taken back by the source (2026-03-05).',
    )
    expect(lines.find((line) => line.includes('talking'))).toMatch(/policy/)
    expect(lines.find((line) => line.startsWith('Left less right arm'))).toMatch(
      /\(mean of 5 pairs of sittings, one arm after the other\): unrounded above 10, 15 and 20 mmHg, limits of different sources \(15: NICE guideline NG136.*\)\. The left arm is the higher one, and the average uses it\.$/,
    )
    expect(lines).toContain('Clinic mean 160.0/96.0 mmHg of 6 readings of the period, left upper arm.')
    expect(lines.find((line) => line.startsWith('By NICE NG136: '))).toMatch(/at home.*Source: NICE/)
    const integrity = lines.findIndex((line) => line.startsWith('How the numbers came in'))
    expect(lines[integrity + 1]).toMatch(/were typed/)
    const calls = lines.filter((line) => line.startsWith('For attention: '))
    expect(calls.map((line) => line.split(/[,.]/)[0])).toEqual([
      'For attention: 6 readings on 6 days were at or above 180 mmHg systolic or 120 mmHg diastolic',
      'For attention: The arms differ by more than 20 mmHg over the period',
    ])
    expect(calls.join(' ').match(/call the local emergency number/g)).toHaveLength(1)
    expect(lines.slice(0, 5).map((line) => line.split(/[: ]/).slice(0, 2).join(' '))).toEqual([
      'Home average',
      'NICE NG136',
      'For attention',
      'For attention',
      'Rule ',
    ])
    expect(lines.at(-1)).toBe(CAUTION)
  })

  it('says plainly that no reading counts, or that none came, and gives no number', () => {
    const [first, second] = told(nice, [{ at: '2026-03-02T07:00:00Z', readings: [[151, 92]] }])
    expect(first).toBe(
      'No home average for 2026-03-02 to 2026-03-08 (UTC): none of the 1 reading received counts.',
    )
    expect(second).toMatch(/^Rule: /)
    const [none, ...rest] = told(nice, [])
    expect(none).toBe('No home average for 2026-03-02 to 2026-03-08 (UTC): no readings were received.')
    expect(rest.map((line) => line.split(/[: ]/)[0])).toEqual(['Rule', 'Schedule', 'This'])
  })

  it('leads with both values where the windows are averaged apart, each with its own label', () => {
    const apart: Protocol = { ...keepAll, windowsAveraged: 'apart' }
    const lines = told(
      apart,
      DAYS.flatMap((day) => [
        { at: `${day}T07:00:00Z`, readings: [[140, 80]] },
        { at: `${day}T20:00:00Z`, readings: [[120, 70]] },
      ]),
    )
    expect(lines.slice(0, 2)).toEqual([
      'Home averages by part of the day: morning 140.0/80.0 mmHg and evening 120.0/70.0 mmHg, 2026-03-02 to 2026-03-08 (UTC): means of 14 of 14 readings received, on 7 days, left upper arm.',
      'NICE NG136 home average, morning: stage 1 range, from 135/85; NICE NG136 home average, evening: below 135/85 (unrounded mean; the worse of systolic and diastolic).',
    ])
    expect(lines).toContain('Morning 7 readings, evening 7 readings; all of them together 130.0/75.0 mmHg.')
  })
})

describe('a part of the note', () => {
  it('says that nothing was left out', () => {
    expect(told(keepAll, [{ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }])).toContain(
      'Nothing was left out.',
    )
  })

  it('says what the readings without a remark would give, and whether the label changes', () => {
    const talked = {
      at: '2026-03-02T07:00:00Z',
      readings: [
        [150, 80, 71],
        [140, 80, 72],
      ],
      findings: [techniqueFinding()],
    } as const
    const quiet = {
      at: '2026-03-02T19:00:00Z',
      readings: [
        [128, 80],
        [126, 80],
      ],
    } as const
    expect(told(keepAll, [talked, quiet])).toContain(
      '2 averaged readings have a remark (talking 2) and are kept; without them: 127.0/80.0 mmHg, which changes the label: NICE NG136 home average: below 135/85.',
    )
    expect(told(keepAll, [talked, quiet])).toContain(
      'Pulse 71.5 per minute; mean arterial pressure 98.7 mmHg, computed.',
    )
    const one = { at: '2026-03-02T07:00:00Z', readings: [[130, 80]], findings: [techniqueFinding()] } as const
    expect(told(keepAll, [one, { at: '2026-03-02T19:00:00Z', readings: [[120, 80]] }])).toContain(
      '1 averaged reading has a remark (talking) and is kept; without it: 120.0/80.0 mmHg, the same label.',
    )
    expect(told(keepAll, [one])).toContain(
      '1 averaged reading has a remark (talking) and is kept; no reading is without one, so there is nothing to compare with.',
    )
  })

  it('says what better technique would change before anything of the rule', () => {
    const talked = {
      at: '2026-03-02T07:00:00Z',
      readings: [[150, 80]],
      findings: [techniqueFinding()],
    } as const
    const quiet = { at: '2026-03-02T19:00:00Z', readings: [[126, 80]] } as const
    expect(told(keepAll, [talked, quiet]).slice(2, 5)).toEqual([
      'NICE NG136 home average: stage 1 range, from 135/85 (unrounded mean; the worse of systolic and diastolic).',
      '1 averaged reading has a remark (talking) and is kept; without it: 126.0/80.0 mmHg, which changes the label: NICE NG136 home average: below 135/85.',
      expect.stringMatching(/^Rule: /),
    ])
  })

  it('names what was remarked on, the most frequent first, and nothing that flags no reading', () => {
    const parts = [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 80],
          [131, 81],
        ],
        findings: [
          { ...techniqueFinding(1), code: 'bladder-full' },
          { ...techniqueFinding(), code: 'cuff-below-heart' },
          { ...techniqueFinding(), code: 'meal-recent', severity: 'information' },
        ],
      },
      { at: '2026-03-02T19:00:00Z', readings: [[120, 80]] },
    ] as const
    expect(told(keepAll, parts)).toContain(
      '2 averaged readings have a remark (cuff below heart 2, bladder full 1) and are kept; without them: 120.0/80.0 mmHg, the same label.',
    )
  })

  it('says of which part of the day no reading counts, where the rule asks for it', () => {
    const mornings = [{ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }] as const
    const both = [...mornings, { at: '2026-03-02T19:00:00Z', readings: [[120, 80]] }] as const
    expect(told(keepAll, mornings)).toContain('Of the evening no reading counts.')
    expect(told(keepAll, both).join()).not.toContain('no reading counts')
    expect(told(keepAll, []).join()).not.toContain('no reading counts')
  })

  it.each([
    { right: 140, said: /^Left less right arm 0\.0\/0\.0 mmHg \(.*\): within the usual limits\.$/ },
    {
      right: 160,
      said: /^Left less right arm -20\.0\/0\.0 mmHg \(.*\): unrounded above 10 and 15 mmHg, limits of different sources \(15: NICE.*\), within 20 mmHg\. The right arm is the higher one; the average uses the left\.$/,
    },
  ])('compares 140 on the left arm with $right on the right', ({ right, said }) => {
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
    expect(lines.find((line) => line.startsWith('Left less right arm'))).toMatch(said)
  })

  // 20.04 and 139.96 are printed as 20.0 and 140.0, and lie on the other side of the limit than these would.
  it('says of the arms that it is the unrounded difference that is above a limit', () => {
    const lines = told(keepAll, [
      { at: '2026-03-02T07:00:00Z', readings: repeated([140, 80], 25) },
      { at: '2026-03-02T07:30:00Z', readings: [[161, 80], ...repeated([160, 80], 24)], arm: 'right' },
    ])
    expect(lines.find((line) => line.startsWith('Left less right arm'))).toMatch(
      /^Left less right arm -20\.0\/0\.0 mmHg \(.*\): unrounded above 10, 15 and 20 mmHg, limits of different sources /,
    )
  })

  it('says of the patterns beside the clinic that they go by the unrounded means', () => {
    const lines = told(keepAll, [
      { at: '2026-03-02T07:00:00Z', readings: [[138, 80]] },
      { at: '2026-03-02T10:00:00Z', setting: 'clinic', readings: [[139, 80], ...repeated([140, 80], 24)] },
    ])
    expect(lines).toContain('Clinic mean 140.0/80.0 mmHg of 25 readings of the period, left upper arm.')
    expect(lines.find((line) => line.startsWith('By NICE NG136: '))).toMatch(
      /^By NICE NG136: the pattern it calls masked hypertension \(unrounded means\)\. Source: /,
    )
  })

  it('says what is too few, days and readings apart, and what a single day cannot show', () => {
    const lines = told({ ...keepAll, leastReadings: 12 }, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 80],
          [132, 82],
        ],
      },
    ])
    expect(lines).toContain(
      'Schedule: 1 of 14 sittings held; no readings on 6 days, 2026-03-03 to 2026-03-08. Too few days: measured on 1, the rule asks for at least 4. Too few readings: 2 count, the rule asks for at least 12.',
    )
    expect(lines).toContain(
      'Single readings spread about 1.4/1.4 mmHg around the mean (standard deviation); too few days to say how well the mean is known.',
    )
  })

  it.each([
    ['of too few days', { ...keepAll, days: { ...nice.days, least: 2 } }, true],
    ['of too few readings', { ...oneDay, leastReadings: 12 }, true],
    ['that is enough', oneDay, false],
  ] as const)(
    'says of an average %s so before it is labelled, else after the rule',
    (_what, rule, isFirst) => {
      const lines = told(rule, [{ at: '2026-03-02T07:00:00Z', readings: [[150, 95]] }])
      const labelled = lines.findIndex((line) => line.includes('unrounded mean'))
      const schedule = lines.findIndex((line) => line.startsWith('Schedule'))
      expect(labelled).toBeGreaterThan(0)
      expect(lines.filter((line) => line.startsWith('Schedule'))).toHaveLength(1)
      expect(schedule < labelled).toBe(isFirst)
    },
  )

  it('marks a source that is only remembered, once', () => {
    const rule = (protocol: Protocol) =>
      told(protocol, [{ at: '2026-03-02T07:00:00Z', readings: [[130, 80]] }]).find((line) =>
        line.startsWith('Rule: '),
      )
    expect(rule({ ...keepAll, evidence: 'memory' })).toMatch(/\(from memory, unverified\)\.$/)
    expect(rule(shippedProtocol('jsh-2019-home'))?.match(/from memory/g)).toHaveLength(1)
  })

  it('says where a diastolic of zero is left out of the mean', () => {
    const heard = {
      ...keepAll,
      leaveOut: { ...keepAll.leaveOut, zeroDiastolic: 'leave-out-beside-others' },
    } as const
    const lines = told(heard, [
      {
        at: '2026-03-02T07:00:00Z',
        readings: [
          [130, 0],
          [130, 80],
        ],
      },
    ])
    expect(lines).toContain(
      'The diastolic mean rests on 1 reading: a diastolic of zero is left out of it where its sitting has another.',
    )
  })
})

function week(protocol: Protocol): PeriodPlan {
  return { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08' }
}

function told(protocol: Protocol, parts: readonly SittingParts[]): readonly string[] {
  return noteOf(week(protocol), parts.map(homeSitting))
}

function noteOf(plan: PeriodPlan, sittings: readonly CheckedSession[]): readonly string[] {
  return periodNarrative(
    periodSummary(reportPeriod(plan, sittings, shippedThresholdSets(), DEFAULT_ATTENTION_LIMITS), 1),
  )
}
