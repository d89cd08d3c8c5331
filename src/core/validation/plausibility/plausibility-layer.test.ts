import fc from 'fast-check'
import type { Bundle, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { validAverage, validPulse, validReading } from '../../../../tests/support/valid-resources.ts'
import { DIASTOLIC_MMHG, PULSE_PER_MINUTE, SYSTOLIC_MMHG } from '../../clinical/plausibility/hard-limits.ts'
import { errorsIn, validateResource } from '../validate-resource.ts'

const found = (resource: unknown) =>
  validateResource(resource)
    .filter(({ code }) => code === 'IMPLAUSIBLE')
    .map(({ severity, at, expected }) => [severity, at, expected])

const SYSTOLIC_AT = 'Observation.component[0].value'
const DIASTOLIC_AT = 'Observation.component[1].value'
const SYSTOLIC = 'a systolic pressure from 40 to 300 mmHg, outside which a number is a mistake'
const DIASTOLIC = 'a diastolic pressure from 20 to 200 mmHg, outside which a number is a mistake'
const ABOVE = 'a systolic pressure above the diastolic'

function reading(systolic: number, diastolic: number, change: object = {}): Observation {
  return { ...withPair(validReading(), systolic, diastolic), ...change }
}

function average(systolic: number, diastolic: number): Observation {
  return withPair(validAverage(), systolic, diastolic)
}

function withPair(observation: Observation, systolic: number, diastolic: number): Observation {
  for (const [place, value] of [systolic, diastolic].entries())
    Object.assign(observation.component?.[place]?.valueQuantity ?? {}, { value })
  return observation
}

describe('a pressure or a pulse that nobody has', () => {
  it.each([
    [39.9, 30, [['warning', SYSTOLIC_AT, SYSTOLIC]]],
    [300.1, 100, [['warning', SYSTOLIC_AT, SYSTOLIC]]],
    [120, 19.9, [['warning', DIASTOLIC_AT, DIASTOLIC]]],
    [260, 200.1, [['warning', DIASTOLIC_AT, DIASTOLIC]]],
    [120, -5, [['warning', DIASTOLIC_AT, DIASTOLIC]]],
    [80, 120, [['warning', SYSTOLIC_AT, ABOVE]]],
    [80, 80, [['warning', SYSTOLIC_AT, ABOVE]]],
    [
      1200,
      1300,
      [
        ['warning', SYSTOLIC_AT, SYSTOLIC],
        ['warning', DIASTOLIC_AT, DIASTOLIC],
        ['warning', SYSTOLIC_AT, ABOVE],
      ],
    ],
  ])('of %d/%d is remarked on', (systolic, diastolic, expected) => {
    expect(found(reading(systolic, diastolic))).toEqual(expected)
  })

  it.each([
    ['the least', 40, 20],
    ['the most', 300, 200],
    ['a crisis', 262, 155],
    ['a newborn’s', 58, 31],
    ['one heard until the cuff was empty', 120, 0],
    ['a tenth apart', 80.1, 80],
  ])('is not %s', (_, systolic, diastolic) => {
    expect(validateResource(reading(systolic, diastolic))).toEqual([])
  })

  it('in kPa is compared exactly', () => {
    const inKPa = (systolic: number, diastolic: number) => {
      const one = reading(systolic, diastolic)
      for (const part of one.component ?? [])
        Object.assign(part.valueQuantity ?? {}, { code: 'kPa', unit: 'kPa' })
      return one
    }
    expect(found(inKPa(5.333, 2.667))).toEqual([])
    expect(found(inKPa(5.332, 2.666))).toEqual([
      ['warning', SYSTOLIC_AT, SYSTOLIC],
      ['warning', DIASTOLIC_AT, DIASTOLIC],
    ])
  })

  it.each([
    ['a bound', { comparator: '<' }],
    ['another unit', { code: 'cm[H2O]' }],
    ['no number', { value: undefined }],
  ])('is not told of %s', (_, change) => {
    const one = reading(120, 80)
    Object.assign(one.component?.[0]?.valueQuantity ?? {}, { value: 2 }, change)
    expect(found(one)).toEqual([])
  })

  it('may be a mean', () => {
    const mean = { code: { coding: [{ system: 'http://loinc.org', code: '8478-0' }] } }
    const quantity = { value: 19, unit: 'mmHg', system: 'http://unitsofmeasure.org', code: 'mm[Hg]' }
    const one = reading(120, 80)
    one.component?.push({ ...mean, valueQuantity: quantity })
    expect(found(one)).toEqual([
      [
        'warning',
        'Observation.component[2].value',
        'a mean arterial pressure from 20 to 300 mmHg, outside which a number is a mistake',
      ],
    ])
    expect(found(average(301, 80))).toEqual([
      [
        'warning',
        SYSTOLIC_AT,
        'a mean systolic pressure from 40 to 300 mmHg, outside which a number is a mistake',
      ],
    ])
    expect(found(average(80, 120))).toEqual([['warning', SYSTOLIC_AT, ABOVE]])
  })

  it('is not a mean of readings with some heard to zero, nor two that are rounded to one number', () => {
    expect(validateResource(average(134.3, 12.5))).toEqual([])
    expect(validateResource(average(80, 80))).toEqual([])
  })

  it('may be a pulse', () => {
    const pulse = (value: number) => {
      const one = validPulse()
      Object.assign(one.valueQuantity ?? {}, { value })
      return one
    }
    expect([20, 300].flatMap((value) => found(pulse(value)))).toEqual([])
    for (const value of [19, 301]) {
      expect(found(pulse(value))).toEqual([
        [
          'warning',
          'Observation.value',
          'a pulse from 20 to 300 beats per minute, outside which a number is a mistake',
        ],
      ])
    }
  })

  it('is not told of what was entered in error', () => {
    expect(found(reading(1200, 1300, { status: 'entered-in-error' }))).toEqual([])
  })

  it('is told where it stands in a bundle, and of what is contained', () => {
    const bundle = { resourceType: 'Bundle', type: 'collection', entry: [{ resource: reading(80, 120) }] }
    expect(found(bundle).map(([, at]) => at)).toEqual(['Bundle.entry[0].resource.component[0].value'])
    const holder = { ...reading(120, 80), contained: [{ ...reading(80, 120), id: 'in' }] }
    expect(found(holder).map(([, at]) => at)).toEqual(['Observation.contained[0].component[0].value'])
  })

  it('never keeps what we write from being kept or sent', () => {
    expect(errorsIn(reading(1200, 1300, { effectiveDateTime: '2031-01-01T00:00:00Z' }))).toEqual([])
  })

  it('names no measured value', () => {
    const said = JSON.stringify(found(reading(1234, 1345)))
    expect(said).not.toMatch(/1234|1345/)
  })
})

describe('a time at which nobody can have measured', () => {
  const LATER = 'a time of measurement no later than the Observation was issued, give or take 5 min'
  const at = (effectiveDateTime: string, issued = '2026-03-02T06:45:00-07:00') =>
    found(reading(120, 80, { effectiveDateTime, issued }))

  it.each([
    ['2026-03-02T06:50:00-07:00', []],
    ['2026-03-02T13:50:01Z', [['warning', 'Observation.effective', LATER]]],
    ['2026-03-03', []],
    ['2026-03-04', [['warning', 'Observation.effective', LATER]]],
    ['2026-03', []],
    ['2026-05', [['warning', 'Observation.effective', LATER]]],
  ])('is %s where it was issued on 2 March', (time, expected) => {
    expect(at(time)).toEqual(expected)
  })

  it('is after the bundle was made, where no time of issue is told', () => {
    const { issued: _, ...one } = reading(120, 80)
    const made = (timestamp: string) => ({
      resourceType: 'Bundle',
      type: 'collection',
      timestamp,
      entry: [{ resource: one }],
    })
    expect(found(made('2026-03-02T06:41:00-07:00'))).toEqual([])
    expect(found(made('2026-03-01T00:00:00Z'))).toEqual([
      [
        'warning',
        'Bundle.entry[0].resource.effective',
        'a time of measurement no later than the bundle was made, give or take 5 min',
      ],
    ])
  })

  it('is not told where nothing says when it was known', () => {
    const { issued: _, ...one } = reading(120, 80)
    expect(found({ ...one, effectiveDateTime: '2099-01-01T00:00:00Z' })).toEqual([])
  })

  it('is before or after the years of home monitors', () => {
    const YEARS = 'a time from 1990 to 2100: a clock outside them was never set'
    expect(at('1989-12-31T23:59:59Z')).toEqual([['warning', 'Observation.effective', YEARS]])
    expect(at('1990-01-01T00:00:00Z')).toEqual([])
    expect(at('2101-01-01T00:00:00Z')).toEqual([['warning', 'Observation.effective', YEARS]])
    const period = { start: '1989-03-02', end: '2026-03-08' }
    expect(found({ ...validAverage(), effectivePeriod: period })).toEqual([
      ['warning', 'Observation.effective.start', YEARS],
    ])
  })
})

describe('what a session may hold', () => {
  it('never gets a remark', () => {
    const tenths = ({ lowest, highest }: typeof SYSTOLIC_MMHG) =>
      fc.integer({ min: lowest * 10, max: highest * 10 }).map((value) => value / 10)
    fc.assert(
      fc.property(
        tenths(SYSTOLIC_MMHG),
        fc.oneof(tenths(DIASTOLIC_MMHG), fc.constant(0)),
        fc.integer({ min: PULSE_PER_MINUTE.lowest, max: PULSE_PER_MINUTE.highest }),
        (systolic, diastolic, pulse) => {
          fc.pre(systolic > diastolic)
          const one = validPulse()
          Object.assign(one.valueQuantity ?? {}, { value: pulse })
          const bundle: Bundle = {
            resourceType: 'Bundle',
            type: 'collection',
            entry: [{ resource: reading(systolic, diastolic) }, { resource: one }],
          }
          expect(found(bundle)).toEqual([])
        },
      ),
    )
  })
})
