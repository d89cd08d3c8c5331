import type { Bundle, Extension, Observation, Quantity } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { averageContext, exampleAverage } from '../../../tests/support/example-average.ts'
import { shippedRules } from '../../../tests/support/recompute-rules.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { recomputeAverages, recomputeIssues } from './recompute-averages.ts'
import type { AverageDifference } from './recomputed-average.ts'

const rules = shippedRules()

interface Falsified {
  readonly name: string
  /** Changes the average, or what stands beside it in the bundle. */
  readonly change: (average: Observation, bundle: Bundle) => void
  readonly difference: AverageDifference
}

const OWN = 'https://home-bp-gateway.example/fhir/StructureDefinition/'
const AVERAGE = 'Bundle.entry[71].resource'

// The example week: 28 readings received, 21 averaged, mean 136.7/83.0; see average-observation.test.ts for the sums.
const FALSIFIED: readonly Falsified[] = [
  {
    name: 'a mean that is a tenth higher',
    change: (average) => add(average.component?.[0]?.valueQuantity, 0.1),
    difference: {
      what: 'mean systolic',
      at: `${AVERAGE}.component[0].value`,
      expected: '136.7 mmHg (136.6667 before rounding)',
      found: '136.8 mmHg',
    },
  },
  {
    name: 'a diastolic mean that is one lower',
    change: (average) => add(average.component?.[1]?.valueQuantity, -1),
    difference: {
      what: 'mean diastolic',
      at: `${AVERAGE}.component[1].value`,
      expected: '83 mmHg (82.9524 before rounding)',
      found: '82 mmHg',
    },
  },
  {
    name: 'a mean that is said to be missing',
    change: (average) => {
      const [systolic] = average.component ?? []
      delete systolic?.valueQuantity
      Object.assign(systolic ?? {}, { dataAbsentReason: { text: 'Not performed' } })
    },
    difference: {
      what: 'mean systolic',
      at: `${AVERAGE}.component[0]`,
      expected: '136.7 mmHg (136.6667 before rounding)',
      found: 'no value',
    },
  },
  {
    name: 'a count as US Core writes it',
    change: (average) => add(average.component?.[2]?.valueQuantity, 1),
    difference: {
      what: 'number of readings',
      at: `${AVERAGE}.component[2].value`,
      expected: '21 readings',
      found: '22 readings',
    },
  },
  {
    name: 'a count as CardX writes it',
    change: (average) => Object.assign(average.extension?.[0] ?? {}, { valueInteger: 20 }),
    difference: {
      what: 'number of readings',
      at: `${AVERAGE}.extension[0].value`,
      expected: '21 readings',
      found: '20 readings',
    },
  },
  {
    name: 'readings received',
    change: (average) => Object.assign(extension(average, 'readings-received'), { valueInteger: 27 }),
    difference: {
      what: 'number of readings received',
      at: `${AVERAGE}.extension[4].value`,
      expected: '28',
      found: '27',
    },
  },
  {
    name: 'the end of the period',
    change: (average) => Object.assign(average.effectivePeriod ?? {}, { end: '2026-03-09T23:59:59-06:00' }),
    difference: {
      what: 'end of the period',
      at: `${AVERAGE}.effective.end`,
      expected: '2026-03-10T23:59:59-06:00',
      found: '2026-03-09T23:59:59-06:00',
    },
  },
  {
    name: 'a label',
    change: (average) =>
      Object.assign(part(extension(average, 'average-label'), 'label'), { valueString: 'fine' }),
    difference: {
      what: 'label (nice-ng136-home), label',
      at: `${AVERAGE}.extension[8].extension[2].value`,
      expected: 'stage 1 range, from 135/85',
      found: 'fine',
    },
  },
  {
    name: 'the mean of the mornings',
    change: (average) => add(part(extension(average, 'window-mean'), 'systolic').valueQuantity, 0.1),
    difference: {
      what: 'mean of a part of the day (morning), systolic',
      at: `${AVERAGE}.extension[9].extension[1].value`,
      expected: '139.9 mmHg',
      found: '140 mmHg',
    },
  },
  {
    name: 'the mean pulse',
    change: (average) => add(extension(average, 'mean-pulse').valueQuantity, 1),
    difference: {
      what: 'mean pulse',
      at: `${AVERAGE}.extension[7].value`,
      expected: '69 per minute',
      found: '70 per minute',
    },
  },
  {
    name: 'whether there were enough days',
    change: (average) =>
      Object.assign(part(extension(average, 'sufficiency'), 'enoughDays'), { valueBoolean: false }),
    difference: {
      what: 'sufficiency, enough days',
      at: `${AVERAGE}.extension[5].extension[3].value`,
      expected: 'true',
      found: 'false',
    },
  },
  {
    name: 'a mean without flagged readings',
    change: (average) => add(part(extension(average, 'sensitivity'), 'systolic').valueQuantity, 2),
    difference: {
      what: 'average without flagged readings, systolic',
      at: `${AVERAGE}.extension[11].extension[1].value`,
      expected: '137.1 mmHg',
      found: '139.1 mmHg',
    },
  },
  {
    name: 'the unit of a mean without flagged readings',
    change: (average) =>
      Object.assign(part(extension(average, 'sensitivity'), 'systolic').valueQuantity ?? {}, { code: 'kPa' }),
    difference: {
      what: 'average without flagged readings, systolic',
      at: `${AVERAGE}.extension[11].extension[1].value`,
      expected: '137.1 mmHg',
      found: '137.1 kPa',
    },
  },
  {
    name: 'the arm',
    change: (average) => Object.assign(average, { bodySite: { text: 'Right upper arm' } }),
    difference: {
      what: 'where it was measured',
      at: `${AVERAGE}.bodySite`,
      expected: 'Left upper arm',
      found: 'Right upper arm',
    },
  },
  {
    name: 'a reading that is no longer listed',
    change: (average) => average.derivedFrom?.shift(),
    difference: {
      what: 'readings averaged',
      at: `${AVERAGE}.derivedFrom`,
      expected:
        'with the reading of 2026-03-05T06:30:00-07:00, 143/84 mmHg (Bundle.entry[11].resource), which counts',
      found: 'it is not listed',
    },
  },
  {
    name: 'a reading that is listed twice',
    change: (average) => average.derivedFrom?.push({ ...average.derivedFrom[0] }),
    difference: {
      what: 'readings averaged',
      at: `${AVERAGE}.derivedFrom[21]`,
      expected: 'each reading once',
      found: 'one that is listed before',
    },
  },
  {
    name: 'a reason for leaving a reading out that does not hold',
    change: (average) =>
      Object.assign(part(extension(average, 'exclusion'), 'reason').valueCoding ?? {}, { code: 'other-arm' }),
    difference: {
      what: 'why a reading is left out',
      at: `${AVERAGE}.extension[14].extension[1].value.code`,
      expected: 'first-day',
      found: 'other-arm',
    },
  },
  {
    name: 'a reading that is neither averaged nor left out',
    change: (average) => average.extension?.splice(14, 1),
    difference: {
      what: 'readings left out',
      at: `${AVERAGE}.extension`,
      expected:
        'with the reading of 2026-03-04T06:30:00-07:00, 142/84 mmHg (Bundle.entry[1].resource), left out for first-day',
      found: 'it is neither averaged nor named as left out',
    },
  },
  {
    name: 'a reading that is averaged and named as left out as well',
    change: (average) => {
      const [first] = average.derivedFrom ?? []
      average.extension?.push({
        url: `${OWN}exclusion`,
        extension: [
          { url: 'reading', valueReference: { ...first } },
          { url: 'reason', valueCoding: { code: 'first-day' } },
        ],
      })
    },
    difference: {
      what: 'readings left out',
      at: `${AVERAGE}.extension[21]`,
      expected:
        'without the reading of 2026-03-05T06:30:00-07:00, 143/84 mmHg (Bundle.entry[11].resource), which counts',
      found: 'it is averaged and named as left out',
    },
  },
  {
    name: 'the protocol in words other than the one adhered to',
    change: (average) =>
      Object.assign(part(extension(average, 'measurement-period'), 'protocol'), {
        valueString: 'esh-2021-home',
      }),
    difference: {
      what: 'protocol',
      at: `${AVERAGE}.extension[3].extension[0].value`,
      expected: 'nice-ng136-home',
      found: 'esh-2021-home',
    },
  },
]

describe('an average with one statement falsified', () => {
  it.each(FALSIFIED)('is found out by $name, at its place, and by nothing else', ({ change, difference }) => {
    expect(recomputed(change).differences).toEqual([difference])
  })

  it('is found out by a reading that the protocol drops', () => {
    const { differences } = recomputed(({ derivedFrom, extension: all }) => {
      const first = all?.findIndex(({ url }) => url === `${OWN}exclusion`) ?? -1
      const [exclusion] = all?.splice(first, 1) ?? []
      derivedFrom?.push(part(exclusion ?? { url: '' }, 'reading').valueReference ?? {})
    })
    expect(differences).toEqual([
      {
        what: 'readings averaged',
        at: `${AVERAGE}.derivedFrom[21]`,
        expected: expect.stringMatching(
          /^without the reading of 2026-03-04T06:30:00-07:00, 142\/84 mmHg \(Bundle\.entry\[1\]\.resource\): Taken on the first day of measuring\./,
        ),
        found: 'it is listed as averaged',
      },
    ])
  })

  it('is found out by a reading that was changed after it was averaged', () => {
    const { differences } = recomputed((_, bundle) => {
      const reading = bundle.entry?.[11]?.resource as Observation
      Object.assign(reading.component?.[0]?.valueQuantity ?? {}, { value: 123 })
    })
    // 20 mmHg of one reading are 0.95 of the mean of 21.
    expect(differences[0]).toEqual({
      what: 'mean systolic',
      at: `${AVERAGE}.component[0].value`,
      expected: '135.7 mmHg (135.7143 before rounding)',
      found: '136.7 mmHg',
    })
  })

  it('is found out by a reading of another patient', () => {
    const { differences } = recomputed((_, bundle) => {
      const reference = 'Patient?identifier=https://clinic.example/mrn|4712'
      Object.assign(bundle.entry?.[11]?.resource ?? {}, { subject: { reference } })
    })
    expect(differences[0]).toEqual({
      what: 'whose readings',
      at: `${AVERAGE}.derivedFrom[0]`,
      expected: 'a reading of the same patient',
      found: 'one of another patient',
    })
  })

  it('is found out by a reading entered in error', () => {
    const { differences } = recomputed((_, bundle) => {
      Object.assign(bundle.entry?.[11]?.resource ?? {}, { status: 'entered-in-error' })
    })
    expect(differences.find(({ what }) => what === 'readings averaged')).toMatchObject({
      at: `${AVERAGE}.derivedFrom[0]`,
      expected: expect.stringContaining('Taken back by its source.'),
      found: 'it is listed as averaged',
    })
  })

  it('is found out by a reading it calls left out by policy, about which nothing was noticed', () => {
    const { differences } = recomputed((average) => {
      Object.assign(part(extension(average, 'exclusion'), 'reason').valueCoding ?? {}, {
        code: 'excluded-by-policy',
      })
    })
    expect(differences).toMatchObject([{ what: 'why a reading is left out', expected: 'first-day' }])
  })

  it('answers with a warning for each difference, at its place, with what was expected and found', () => {
    const again = recomputed((average) => add(average.component?.[0]?.valueQuantity, 0.1))
    expect(recomputeIssues([again])).toEqual([
      {
        severity: 'warning',
        type: 'business-rule',
        code: 'RECOMPUTE',
        at: `${AVERAGE}.component[0].value`,
        expected: 'mean systolic: 136.7 mmHg (136.6667 before rounding); found 136.8 mmHg',
        remedy: 'Compare the average with the readings it was derived from.',
        rule: 'recompute',
      },
    ])
  })
})

function recomputed(change: Falsified['change']) {
  const { report, sittings } = exampleAverage()
  const bundle = structuredClone(averageBundle(report, sittings, averageContext(report)))
  const at = bundle.entry?.findIndex(({ resource }) => isAverage(resource)) ?? -1
  expect(`Bundle.entry[${at}].resource`).toBe(AVERAGE)
  change(bundle.entry?.[at]?.resource as Observation, bundle)
  const [again] = recomputeAverages(bundle, rules)
  if (again === undefined) throw new Error('no average was found')
  return again
}

function isAverage(resource: unknown): boolean {
  return (resource as Observation).code?.coding?.[0]?.code === '96607-7'
}

function add(quantity: Quantity | undefined, more: number): void {
  if (quantity?.value === undefined) throw new Error('no quantity')
  quantity.value = Number((quantity.value + more).toFixed(1))
}

function extension({ extension: all }: Observation, name: string): Extension {
  const found = all?.find(({ url }) => url === `${OWN}${name}`)
  if (found === undefined) throw new Error(`no extension ${name}`)
  return found
}

function part({ extension: all }: Extension, name: string): Extension {
  const found = all?.find(({ url }) => url === name)
  if (found === undefined) throw new Error(`no part ${name}`)
  return found
}
