import type { Bundle, Observation, Period } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { publishedWeek } from '../../../tests/fixtures/published-week.ts'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { type ForeignAverage, foreignBundle } from '../../../tests/support/foreign-average.ts'
import { homeSitting } from '../../../tests/support/home-sitting.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages, recomputeIssues } from './recompute-averages.ts'

const rules = shippedRules()
const RIGHT: ForeignAverage = { systolic: 134, diastolic: 87, readings: 28 }

describe('an average of another system', () => {
  it('is averaged by the protocol its notes name, and says that only they do', () => {
    const { title } = rules.protocols.get('aha-2019-home') ?? { title: '' }
    const bundle = foreignBundle(publishedWeek, { ...RIGHT, notes: [`Averaged by ${title}.`] })
    expect(recomputeAverages(bundle, rules)).toMatchObject([
      {
        verdict: 'agrees',
        protocol: 'aha-2019-home',
        assumed: [
          'Only its notes name the protocol.',
          'The bundle does not say which readings belong to one sitting: those at most 30 minutes apart were taken as one.',
          'The time zone is not stated: each reading was placed on the day and hour it is written with.',
          'Readings that do not say where they were taken were taken for readings at home.',
          'Readings that do not name the arm were taken for readings of the arm that was averaged.',
        ],
      },
    ])
  })

  it('puts readings half an hour apart into one sitting, and a minute more into two', () => {
    // By sittings: (140 + 120) / 2 and 100 give 115 when the first two are one sitting; all three give 120 by themselves.
    const average = (second: string, systolic: number) =>
      foreignBundle(
        [
          homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[140, 80]] }),
          homeSitting({ at: second, readings: [[120, 80]] }),
          homeSitting({ at: '2026-03-02T20:00:00Z', readings: [[100, 80]] }),
        ],
        { systolic, diastolic: 80, readings: 3, adheresTo: 'https://x.example/protocol/by-sittings' },
      )
    const protocol = rules.protocols.get('aha-2019-home')
    if (protocol === undefined) throw new Error('no protocol')
    const protocols = new Map([['by-sittings', { ...protocol, pooling: 'mean-of-sitting-means' as const }]])
    const verdict = (bundle: Bundle) => recomputeAverages(bundle, { ...rules, protocols })[0]?.verdict
    expect(verdict(average('2026-03-02T07:30:00Z', 115))).toBe('agrees')
    expect(verdict(average('2026-03-02T07:31:00Z', 120))).toBe('agrees')
    expect(verdict(average('2026-03-02T07:31:00Z', 115))).toBe('differs')
  })

  it('counts each reading on the day it is written with, whatever its offset', () => {
    // 21:30 at +14:00 is 07:30 in UTC on the same day; 07:30 at -11:00 is 18:30 in UTC, on the evening of its day.
    const sittings = [
      homeSitting({ at: '2026-03-02T21:30:00+14:00', readings: [[150, 90]] }),
      homeSitting({ at: '2026-03-03T07:30:00-11:00', readings: [[130, 80]] }),
    ]
    const adheresTo = 'https://x.example/protocol/nice-ng136-home'
    const bundle = foreignBundle(sittings, { systolic: 130, diastolic: 80, readings: 1, adheresTo })
    const average = bundle.entry?.[2]?.resource as Observation
    average.derivedFrom?.shift()
    // The rule leaves the first day out: with the 2nd in the period that is the 2nd, without it the 3rd.
    Object.assign(average, { effectivePeriod: { start: '2026-03-02', end: '2026-03-03' } })
    expect(recomputeAverages(bundle, rules)).toMatchObject([{ verdict: 'agrees' }])
    Object.assign(average, { effectivePeriod: { start: '2026-03-03', end: '2026-03-03' } })
    expect(recomputeAverages(bundle, rules)[0]?.differences.map(({ what }) => what)).toEqual([
      'mean systolic',
      'mean diastolic',
      'number of readings',
      'readings averaged',
    ])
  })

  describe('of a period whose ends have a time of day', () => {
    // Eight days at -07:00, of which the first seven are averaged; on the last one the readings are far higher.
    const sittings = [2, 3, 4, 5, 6, 7, 8, 9].flatMap((day) =>
      ['06:00:00', '20:00:00'].map((time) => {
        const reading =
          day === 9 ? ([180, 80] as const) : day === 2 ? ([140, 80] as const) : ([130, 80] as const)
        return homeSitting({ at: `2026-03-0${day}T${time}-07:00`, readings: [reading, reading] })
      }),
    )
    const of = (protocol: string, systolic: number, from: number, start: string, end: string) => {
      const adheresTo = `https://x.example/protocol/${protocol}`
      const effectivePeriod = { start, end }
      const stated = { systolic, diastolic: 80, readings: 28 - from, adheresTo, effectivePeriod }
      const bundle = foreignBundle(sittings, stated)
      const average = bundle.entry?.at(-1)?.resource as Observation
      Object.assign(average, { derivedFrom: average.derivedFrom?.slice(from, 28) })
      return recomputeAverages(bundle, rules).map(({ verdict }) => verdict)
    }

    it.each([
      ['2026-03-02T00:00:00-07:00', '2026-03-08T23:59:59-07:00'],
      ['2026-03-02T07:00:00Z', '2026-03-09T06:59:59Z'],
      ['2026-03-01T21:00:00-10:00', '2026-03-08T20:59:59-10:00'],
      ['2026-03-02T06:00:00-07:00', '2026-03-08T20:01:00-07:00'],
      ['2026-03-02', '2026-03-08'],
    ])('takes the readings from %s to %s', (start, end) => {
      // 4 of 28 readings at 140: 131.43.
      expect(of('aha-2019-home', 131, 0, start, end)).toEqual(['agrees'])
      // This protocol leaves out the first day, by the patient’s clock.
      expect(of('nice-ng136-home', 130, 4, start, end)).toEqual(['agrees'])
    })

    it('finds out a reading between them that is not averaged', () => {
      expect(of('aha-2019-home', 131, 0, '2026-03-02T07:00:00Z', '2026-03-09T13:00:00Z')).toEqual(['differs'])
    })
  })

  describe('with a reading under two ids', () => {
    const morning = homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[150, 90]] })
    const evening = homeSitting({ at: '2026-03-02T20:00:00Z', readings: [[130, 80]] })
    const twice = (adheresTo?: string) =>
      foreignBundle([morning, morning, evening], {
        systolic: 143,
        diastolic: 87,
        readings: 3,
        ...(adheresTo === undefined ? {} : { adheresTo }),
      })

    it.each([undefined, 'https://x.example/protocol/aha-2019-home'])(
      'is found out, adhering to %s',
      (url) => {
        expect(recomputeAverages(twice(url), rules)).toMatchObject([
          {
            verdict: 'differs',
            differences: [
              {
                what: 'readings averaged',
                at: 'Bundle.entry[3].resource.derivedFrom[1]',
                expected: 'each reading once',
                found: 'one of the same moment and numbers as Bundle.entry[0].resource',
              },
            ],
          },
        ])
      },
    )

    it('is not said to have one where the two were taken on different arms', () => {
      const bundle = twice()
      for (const [place, side] of ['Left', 'Right'].entries())
        Object.assign(bundle.entry?.[place]?.resource ?? {}, { bodySite: { text: `${side} upper arm` } })
      expect(recomputeAverages(bundle, rules)).toMatchObject([{ verdict: 'agrees' }])
    })

    it('is not said to have one where the moment is that of a sitting, with other readings of it', () => {
      const sitting = homeSitting({ at: '2026-03-02T07:00:00Z', readings: [[150, 90]] })
      const other = homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[140, 90]] })
      const third = homeSitting({ at: '2026-03-03T07:00:00Z', readings: [[144, 90]] })
      const bundle = foreignBundle([sitting, sitting, other, third], {
        systolic: 146,
        diastolic: 90,
        readings: 4,
      })
      expect(recomputeAverages(bundle, rules)).toMatchObject([{ verdict: 'agrees' }])
    })
  })

  describe('that states no protocol and leaves readings of its days out', () => {
    const days = [2, 3, 4].map((day) =>
      homeSitting({ at: `2026-03-0${day}T07:00:00Z`, readings: [[120 + 10 * day, 80]] }),
    )
    const without = (place: number, effectivePeriod?: Period) => {
      const stated = { systolic: 155, diastolic: 80, readings: 2 }
      const bundle = foreignBundle(days, {
        ...stated,
        ...(effectivePeriod === undefined ? {} : { effectivePeriod }),
      })
      const average = bundle.entry?.[3]?.resource as Observation
      average.derivedFrom?.splice(place, 1)
      return bundle
    }
    const NOT_LISTED =
      '1 reading of these days stands in the bundle and is not among those it was derived from, the first Bundle.entry[0].resource; no protocol is stated that would say why.'

    it('says so, and which is the first', () => {
      expect(recomputeAverages(without(0, { start: '2026-03-02', end: '2026-03-04' }), rules)).toMatchObject([
        { verdict: 'agrees', assumed: [expect.any(String), NOT_LISTED] },
      ])
    })

    it('says nothing of readings of other days or of the clinic', () => {
      const bundle = without(0)
      expect(recomputeAverages(bundle, rules)[0]?.assumed).toHaveLength(1)
    })
  })

  it('takes readings in kPa as they are, and a mean in kPa', () => {
    const bundle = foreignBundle(
      [
        homeSitting({
          at: '2026-03-02T07:00:00Z',
          readings: [
            [18.2, 11.1],
            [18.5, 11.2],
          ],
        }),
      ],
      {
        systolic: 18.35,
        diastolic: 11.15,
        readings: 2,
      },
    )
    const inKPa = JSON.parse(JSON.stringify(bundle).replaceAll(/mm\[Hg\]|mmHg/g, 'kPa'))
    expect(recomputeAverages(inKPa, rules)).toMatchObject([{ verdict: 'agrees' }])
  })

  it.each<{ name: string; change: (average: Observation, first: Observation) => void; reason: RegExp }>([
    {
      name: 'names no reading',
      change: (average) => delete average.derivedFrom,
      reason: /^It names no reading/,
    },
    {
      name: 'names readings that are elsewhere',
      change: (average) => average.derivedFrom?.push({ reference: 'Observation/elsewhere' }),
      reason: /^Of the 29 readings that it was derived from, 28 are in the bundle\.$/,
    },
    {
      name: 'names a protocol nobody here knows',
      change: (average) =>
        average.extension?.push({
          url: 'http://hl7.org/fhir/StructureDefinition/workflow-adheresTo',
          valueUri: 'https://elsewhere.example/PlanDefinition/own',
        }),
      reason: /^The protocol it names is not known here/,
    },
    {
      name: 'rests on a reading without a time',
      change: (_, first) => delete first.effectiveDateTime,
      reason: /\(Bundle\.entry\[0\]\.resource\): it has no time\.$/,
    },
    {
      name: 'rests on a reading of a day',
      change: (_, first) => Object.assign(first, { effectiveDateTime: '2023-03-01' }),
      reason: /its time is known to the day only\.$/,
    },
    {
      name: 'rests on a reading in another unit',
      change: (_, first) => Object.assign(first.component?.[0]?.valueQuantity ?? {}, { code: 'Pa' }),
      reason: /its unit is neither mm\[Hg\] nor kPa\.$/,
    },
    {
      name: 'rests on a reading that was cancelled',
      change: (_, first) => Object.assign(first, { status: 'cancelled' }),
      reason: /its status is not that of a reading that stands\.$/,
    },
  ])('cannot be worked out where it $name, and says so', ({ change, reason }) => {
    const bundle = foreignBundle(publishedWeek, RIGHT)
    change(bundle.entry?.[28]?.resource as Observation, bundle.entry?.[0]?.resource as Observation)
    const again = recomputeAverages(bundle, rules)
    expect(again).toMatchObject([
      { verdict: 'not-recomputable', differences: [], reason: expect.stringMatching(reason) },
    ])
    expect(recomputeIssues(again)).toMatchObject([
      { severity: 'information', code: 'RECOMPUTE', at: 'Bundle.entry[28].resource', rule: 'recompute' },
    ])
  })

  it('differs where the protocol is not known and no way of pooling its readings gives the mean', () => {
    const adheresTo = 'https://elsewhere.example/PlanDefinition/own'
    const bundle = foreignBundle(publishedWeek, { ...RIGHT, diastolic: 84, adheresTo })
    expect(recomputeAverages(bundle, rules)).toMatchObject([
      { verdict: 'differs', differences: [{ what: 'mean diastolic' }] },
    ])
  })
})

describe('where a resource keeps its averages', () => {
  const { report, sittings } = exampleAverage()
  const bundle = averageBundle(report, sittings, averageContext(report))

  it('finds one that stands alone, with its readings inside it', () => {
    const readings = foreignBundle(publishedWeek, RIGHT).entry?.map(({ resource }) => resource) ?? []
    const average = readings.pop() as Observation
    const contained = readings.map((one) => ({ ...one }))
    const derivedFrom = contained.map((one) => ({ reference: `#${one?.id}` }))
    expect(recomputeAverages({ ...average, contained, derivedFrom }, rules)).toMatchObject([
      { at: 'Observation', verdict: 'agrees', readings: 28 },
    ])
    expect(recomputeAverages(average, rules)).toMatchObject([
      {
        at: 'Observation',
        verdict: 'not-recomputable',
        reason: expect.stringMatching(/28 readings .* 0 are in/),
      },
    ])
  })

  it('finds one in a bundle inside a bundle, by the entries of that bundle', () => {
    const outer = { resourceType: 'Bundle', type: 'collection', entry: [{ resource: bundle }] }
    expect(recomputeAverages(outer, rules)).toMatchObject([
      { at: 'Bundle.entry[0].resource.entry[71].resource', verdict: 'agrees' },
    ])
  })

  it('reads our own statements under whatever canonical base', () => {
    const { context } = exampleAverage()
    const elsewhere = averageBundle(report, sittings, {
      ...context,
      canonicalBase: 'https://other.example/a/b',
    })
    expect(recomputeAverages(elsewhere, rules)).toMatchObject([
      { verdict: 'agrees', protocol: 'nice-ng136-home' },
    ])
  })

  it('finds none in a resource without any', () => {
    expect(recomputeAverages({ resourceType: 'Patient' }, rules)).toEqual([])
    expect(recomputeAverages(null, rules)).toEqual([])
  })
})
