import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { publishedWeek } from '../../../tests/fixtures/published-week.ts'
import { emittedResources } from '../../../tests/support/emitted-resources.ts'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { foreignBundle } from '../../../tests/support/foreign-average.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { shippedProtocols, shippedThresholdSets } from '../../../tests/support/shipped-profiles.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../clinical/attention/attention-limits.ts'
import { reportPeriod } from '../clinical/report/report-period.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages } from './recompute-averages.ts'

const rules = shippedRules()

// The example week: mean 136.7/83.0, mornings 139.9; issued on 11 March, the day after its last.
describe('an average whose own words tell other numbers', () => {
  it('is found out by its text', () => {
    expect(
      toldOf(week(), (one) => inText(one, 'Home average 136.7/83.0', 'Home average 126.7/83.0')),
    ).toEqual([['mean systolic in its own words', 'text.div', '136.7 mmHg, as it states', '126.7 mmHg']])
  })

  it('is found out by a note', () => {
    expect(
      toldOf(week(), (one) => inNotes(one, 'Home average 136.7/83.0', 'Home average 136.7/73.0')),
    ).toEqual([['mean diastolic in its own words', 'note[0].text', '83 mmHg, as it states', '73.0 mmHg']])
  })

  it('is told once where text and notes agree', () => {
    const change = (one: Observation) => {
      inText(one, 'Home average 136.7/', 'Home average 146.7/')
      inNotes(one, 'Home average 136.7/', 'Home average 146.7/')
    }
    expect(toldOf(week(), change).map(([, at]) => at)).toEqual(['text.div'])
  })

  it('is found out by a part of the day', () => {
    expect(toldOf(week(), (one) => inText(one, 'Morning 139.9/', 'Morning 129.9/'))).toEqual([
      [
        'mean systolic of a part of the day (morning) in its own words',
        'text.div',
        '139.9 mmHg, as it states',
        '129.9 mmHg',
      ],
    ])
  })

  it.each([
    ['mean of 21 of', 'mean of 28 of', 'number of readings', '21', '28'],
    ['of 28 readings received', 'of 21 readings received', 'number of readings received', '28', '21'],
    [', on 6 days', ', on 7 days', 'days with a reading averaged', '6', '7'],
    [', 2026-03-04 to', ', 2026-03-03 to', 'first day of the period', '2026-03-04', '2026-03-03'],
    [' to 2026-03-10 (', ' to 2026-03-17 (', 'last day of the period', '2026-03-10', '2026-03-17'],
    [
      'NICE NG136 home average: stage 1 range, from 135/85',
      'NICE NG136 home average: below 135/85',
      'label',
      'NICE NG136 home average: stage 1 range, from 135/85',
      'NICE NG136 home average: below 135/85',
    ],
  ])('is found out where its text says %j as %j', (written, said, what, expected, found) => {
    expect(toldOf(week(), (one) => inText(one, written, said))).toEqual([
      [`${what} in its own words`, 'text.div', `${expected}, as it states`, found],
    ])
  })

  it('is found out where it tells days and readings beside no mean', () => {
    const nothing = exampleAverage({ setting: 'clinic' })
    const bundle = averageBundle(nothing.report, nothing.sittings, nothing.context)
    expect(toldOf(bundle, (one) => inText(one, 'of the 28 readings', 'of the 27 readings'))).toMatchObject([
      ['number of readings received in its own words', 'text.div', '28, as it states', '27'],
    ])
  })

  it('is found out where the parts of the day are averaged apart', () => {
    const bundle = week('apart')
    const { text } = averageIn(bundle)
    const [, morning = ''] = /Home averages by part of the day: morning (\d+\.\d)/.exec(text?.div ?? '') ?? []
    const [, all = ''] = /all of them together (\d+\.\d)/.exec(text?.div ?? '') ?? []
    const change = (one: Observation) => {
      inText(one, `day: morning ${morning}/`, 'day: morning 99.9/')
      inText(one, `together ${all}/`, 'together 98.9/')
    }
    expect(toldOf(bundle, change)).toEqual([
      [
        'mean systolic of a part of the day (morning) in its own words',
        'text.div',
        `${Number(morning)} mmHg, as it states`,
        '99.9 mmHg',
      ],
      ['mean systolic in its own words', 'text.div', `${Number(all)} mmHg, as it states`, '98.9 mmHg'],
    ])
  })

  it('is found out where it states that there is no mean', () => {
    const nothing = exampleAverage({ setting: 'clinic' })
    const bundle = averageBundle(nothing.report, nothing.sittings, nothing.context)
    expect(
      toldOf(bundle, (one) => inText(one, 'No home average for ', 'Home average 121.0/79.0 mmHg, ')),
    ).toMatchObject([
      ['mean systolic in its own words', 'text.div', 'none, as it states no mean', '121.0 mmHg'],
      ['mean diastolic in its own words', 'text.div', 'none, as it states no mean', '79.0 mmHg'],
    ])
  })

  it('is found out where its readings are not at hand', () => {
    const average = averageIn(week())
    inText(average, 'Home average 136.7/', 'Home average 126.7/')
    expect(recomputeAverages(average, rules)).toMatchObject([
      {
        verdict: 'differs',
        differences: [{ what: 'mean systolic in its own words', at: 'Observation.text.div' }],
        reason: expect.stringContaining('0 are in the bundle'),
      },
    ])
  })

  it('is not told of a value that does not follow from the readings: that is told already', () => {
    const change = ({ component }: Observation) =>
      Object.assign(component?.[0]?.valueQuantity ?? {}, { value: 99 })
    expect(toldOf(week(), change).map(([what]) => what)).toEqual(['mean systolic'])
  })

  it.each([
    ['24 hours', '97844-5'],
    ['Day', 'day-mean'],
    ['Night', 'night-mean'],
  ])('is found out of a recording, by the sentence on its %s alone', (span, code) => {
    const bundle = structuredClone(
      emittedResources().find(([name]) => name === 'means of a recording by chep-2017-recording')?.[1],
    ) as Bundle
    const means = (bundle.entry ?? []).map(({ resource }) => resource as Observation).filter(isOfRecording)
    expect(means).toHaveLength(3)
    for (const one of means) inText(one, new RegExp(`<p>${span}: [\\d.]+/`), `<p>${span}: 99.9/`)
    const told = recomputeAverages(bundle, rules).filter(({ differences }) => differences.length > 0)
    const at = bundle.entry?.findIndex(
      ({ resource }) => resource === means.find((one) => codeOf(one) === code),
    )
    expect(told).toMatchObject([
      {
        at: `Bundle.entry[${at}].resource`,
        differences: [{ what: 'mean systolic in its own words', found: '99.9 mmHg' }],
      },
    ])
  })

  it('says nothing of words that are not this gateway’s', () => {
    const average = { systolic: 134, diastolic: 87, readings: 28 }
    const notes = [
      'Average: 120/70 mmHg.',
      'Home average 120/70',
      'Mean home average 120/70 mmHg, this week.',
    ]
    const [again] = recomputeAverages(foreignBundle(publishedWeek, { ...average, notes }), rules)
    expect(again).toMatchObject({ verdict: 'agrees' })
  })
})

describe('an average that was issued before its period was over', () => {
  const issued = (at: string) => (one: Observation) => Object.assign(one, { issued: at })

  it('is found out, when it is one of ours', () => {
    expect(toldOf(week(), issued('2026-03-10T23:59:58-06:00'))).toEqual([
      [
        'time of issue',
        'issued',
        'no earlier than the end of the period, 2026-03-10T23:59:59-06:00',
        '2026-03-10T23:59:58-06:00',
      ],
    ])
    expect(toldOf(week(), issued('2026-03-11T06:00:00Z'))).toEqual([])
  })

  it.each([
    ['2026-03-08T23:59:59+01:00', '2026-03-07T23:00:00Z', []],
    ['2026-03-08T23:59:59+01:00', '2026-03-07T22:59:59Z', ['time of issue']],
    ['2026-03-08', '2026-03-07T10:00:00Z', []],
    ['2026-03-08', '2026-03-07T09:59:59Z', ['time of issue']],
    ['2026-03', '2026-01-01T00:00:00Z', []],
  ])('is found out before the last day, when it is another’s: %s, issued %s', (end, at, expected) => {
    const bundle = foreignBundle(publishedWeek, {
      systolic: 134,
      diastolic: 87,
      readings: 28,
      effectivePeriod: { end },
    })
    const times = (change: object) =>
      toldOf(bundle, (one) => Object.assign(one, { issued: at }, change))
        .map(([what]) => what)
        .filter((what) => what === 'time of issue')
    expect(times({})).toEqual(expected)
    expect(times({ status: 'preliminary' })).toEqual([])
  })
})

function week(windows: 'together' | 'apart' = 'together'): Bundle {
  const { report, sittings } = exampleAverage()
  if (windows === 'together') return structuredClone(averageBundle(report, sittings, averageContext(report)))
  const protocol = shippedProtocols().find(({ windowsAveraged }) => windowsAveraged === 'apart')
  if (protocol === undefined) throw new Error('no protocol keeps the parts of the day apart')
  const plan = { ...report.average.plan, protocol }
  const apart = reportPeriod(plan, sittings, shippedThresholdSets(), DEFAULT_ATTENTION_LIMITS)
  return structuredClone(averageBundle(apart, sittings, averageContext(apart)))
}

function averageIn(bundle: Bundle): Observation {
  const found = bundle.entry?.map(({ resource }) => resource as Observation).find(isAverage)
  if (found === undefined) throw new Error('no average')
  return found
}

function isAverage(one: Observation): boolean {
  return codeOf(one) === '96607-7'
}

function isOfRecording(one: Observation): boolean {
  return ['97844-5', 'day-mean', 'night-mean'].includes(codeOf(one))
}

function codeOf({ code }: Observation): string {
  return code?.coding?.[0]?.code ?? ''
}

/** What differs, as what, where in the average, expected and found. */
function toldOf(bundle: Bundle, change: (average: Observation) => void): readonly (readonly string[])[] {
  change(averageIn(bundle))
  return recomputeAverages(bundle, rules).flatMap(({ at: average, differences }) =>
    differences.map(({ what, at, expected, found }) => [what, at.slice(average.length + 1), expected, found]),
  )
}

function inText({ text }: Observation, from: string | RegExp, to: string): void {
  const changed = text?.div.replace(from, to)
  if (text === undefined || changed === undefined || changed === text.div) throw new Error('not in the text')
  text.div = changed
}

function inNotes({ note }: Observation, from: string, to: string): void {
  const found = note?.find(({ text }) => text.includes(from))
  if (found === undefined) throw new Error('not in the notes')
  found.text = found.text.replace(from, to)
}
