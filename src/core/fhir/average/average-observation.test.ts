import type { Coding, Extension } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { averageContext, exampleAverage } from '../../../../tests/support/example-average.ts'
import { readingUuid, sessionUuid } from '../identifiers.ts'
import { averageObservation } from './average-observation.ts'

const OWN = 'https://home-bp-gateway.example/fhir/StructureDefinition/'

function written(changes: Parameters<typeof averageContext>[1] = {}) {
  const { report } = exampleAverage()
  return averageObservation(report, averageContext(report, changes))
}

function parts(extension: Extension | undefined): Record<string, unknown> {
  return Object.fromEntries(
    (extension?.extension ?? []).map(({ url, ...value }) => [url, Object.values(value)[0]]),
  )
}

describe('the average of a week', () => {
  // Worked by hand: days 5 to 10, morning (138 + day, 135) and evening (131 + day, 128), left arm. Left out: the first
  // morning reading of day 6 (no diastolic) and the evening of day 9 (right arm). 21 readings are left:
  // mornings 143 145 146 147 148 + 6 x 135 = 729 + 810 = 1539 (11), evenings 136 137 138 139 141 + 5 x 128 = 691 + 640 = 1331 (10).
  const SYSTOLIC = (1539 + 1331) / 21
  // Diastolic 84 first and 82 second: 10 first readings and 11 second ones.
  const DIASTOLIC = (10 * 84 + 11 * 82) / 21

  it('writes both means once, rounded to the digits asked for', () => {
    const values = (decimals: 0 | 1) =>
      written({ decimals })
        .component?.slice(0, 2)
        .map(({ valueQuantity }) => valueQuantity?.value)
    expect(values(1)).toEqual([Number(SYSTOLIC.toFixed(1)), Number(DIASTOLIC.toFixed(1))])
    expect(values(0)).toEqual([Math.round(SYSTOLIC), Math.round(DIASTOLIC)])
  })

  it('derives from exactly the readings averaged', () => {
    const { report } = exampleAverage()
    const { derivedFrom } = averageObservation(report, averageContext(report))
    expect(derivedFrom).toHaveLength(21)
    const expected = report.average.used.map(
      ({ session, reading }) =>
        `urn:uuid:${readingUuid(sessionUuid('harbour-app', session.id), reading.ordinal)}`,
    )
    expect(derivedFrom?.map(({ reference }) => reference)).toEqual(expected)
  })

  it('lists every reading left out, with its reason, and none of them in derivedFrom', () => {
    const observation = written()
    const exclusions = observation.extension?.filter(({ url }) => url === `${OWN}exclusion`) ?? []
    const reasons = exclusions.map((one) => (parts(one).reason as Coding).code).toSorted()
    expect(reasons).toEqual([
      'first-day',
      'first-day',
      'first-day',
      'first-day',
      'other-arm',
      'other-arm',
      'pressure-missing',
    ])
    const used = new Set(observation.derivedFrom?.map(({ reference }) => reference))
    for (const one of exclusions) {
      const { reading, text } = parts(one) as { reading: { reference: string }; text: string }
      expect(used.has(reading.reference)).toBe(false)
      expect(text).not.toBe('')
    }
  })

  it('claims no position, arm or site that its readings do not state', () => {
    const { report } = exampleAverage({ position: 'not-stated', arm: 'not-stated', site: 'not-stated' })
    const observation = averageObservation(report, averageContext(report, { snomed: true }))
    expect(observation.derivedFrom).toHaveLength(23)
    expect(observation).not.toHaveProperty('bodySite')
    expect(JSON.stringify(observation)).not.toMatch(/bodyPosition|left upper arm/i)
    expect(observation.note?.[0]?.text).toMatch(/, arm and site not stated\.$/)
  })

  it('spans the patient’s own days, each end with its own offset across a clock change', () => {
    expect(written().effectivePeriod).toEqual({
      start: '2026-03-04T00:00:00-07:00',
      end: '2026-03-10T23:59:59-06:00',
    })
  })

  it('writes the means of parts of the day, the pulse and the average without flagged readings', () => {
    const { extension } = written()
    const windows = extension?.filter(({ url }) => url === `${OWN}window-mean`).map(parts)
    expect(windows?.map(({ window, readings }) => [window, readings])).toEqual([
      ['morning', 11],
      ['evening', 10],
    ])
    expect(windows?.[0]?.systolic).toMatchObject({ value: Number((1539 / 11).toFixed(1)), code: 'mm[Hg]' })
    expect(extension?.find(({ url }) => url === `${OWN}mean-pulse`)?.valueQuantity).toMatchObject({
      value: Number(((10 * 70 + 11 * 68) / 21).toFixed(1)),
      code: '/min',
    })
    const sensitivity = parts(extension?.find(({ url }) => url === `${OWN}sensitivity`))
    expect(sensitivity).toMatchObject({ flaggedReadings: 2, readings: 19 })
    expect(sensitivity.systolic).toMatchObject({ value: Number(((2870 - 138 - 128) / 19).toFixed(1)) })
  })

  it('writes how the schedule was kept, how the readings vary, and every limit of the arms with its source', () => {
    const { extension } = written()
    const one = (name: string) => extension?.find(({ url }) => url === `${OWN}${name}`)
    // 14 sittings asked for and held; the morning of day 6 has one complete reading of two.
    expect(parts(one('adherence'))).toEqual({ sittingsAsked: 14, sittingsHeld: 14, sittingsShort: 1 })
    const systolic = one('average-statistics')?.extension?.[0]
    // The 21 readings named above, by hand: 2870 in all, their squares 393084.
    const deviation = Math.sqrt((393084 - 2870 ** 2 / 21) / 20)
    expect(parts(systolic).sdReadings).toMatchObject({ value: Number(deviation.toFixed(1)), code: 'mm[Hg]' })
    expect(parts(systolic).cvReadings).toMatchObject({ code: '%' })
    const limits = one('inter-arm-difference')?.extension?.filter(({ url }) => url === 'limit') ?? []
    expect(limits.length).toBeGreaterThan(1)
    for (const limit of limits) expect(parts(limit).source).toMatch(/./)
    expect(parts(one('inter-arm-difference'))).toMatchObject({ basis: 'unpaired', pairs: 0, armUsed: 'left' })
  })

  it('writes the average without flagged readings also where none is flagged: it is the same', () => {
    const { report, context } = exampleAverage()
    const { average } = report
    const { sensitivity: _, mean, ...rest } = average
    if (mean === undefined) throw new Error('nothing was averaged')
    const unflagged = { ...rest, mean, sensitivity: { mean, labels: average.labels, flaggedReadings: 0 } }
    const { extension, component } = averageObservation({ ...report, average: unflagged }, context)
    const pair = parts(extension?.find(({ url }) => url === `${OWN}sensitivity`))
    expect(pair).toMatchObject({ flaggedReadings: 0, readings: 21, systolic: component?.[0]?.valueQuantity })
  })

  it('names each label with its threshold set', () => {
    const labels = written().extension?.filter(({ url }) => url === `${OWN}average-label`)
    expect(labels?.map((one) => Object.keys(parts(one)))).toEqual([['thresholdSet', 'title', 'label']])
  })

  it('says how to work it out again: protocol, days and zone', () => {
    const { extension } = written()
    expect(parts(extension?.find(({ url }) => url === `${OWN}measurement-period`))).toEqual({
      protocol: 'nice-ng136-home',
      firstDay: '2026-03-04',
      lastDay: '2026-03-10',
      zone: 'America/Denver',
    })
    expect(extension?.find(({ url }) => url === `${OWN}readings-received`)?.valueInteger).toBe(28)
  })

  it('writes the sentences it is given as narrative and as notes, escaped where markup could be meant', () => {
    const observation = written({ narrative: ['Below <135> & "fine".', 'Not a diagnosis.'] })
    expect(observation.text).toEqual({
      status: 'generated',
      div: '<div xmlns="http://www.w3.org/1999/xhtml"><p>Below &lt;135&gt; &amp; &quot;fine&quot;.</p><p>Not a diagnosis.</p></div>',
    })
    expect(observation.note).toEqual([{ text: 'Below <135> & "fine".' }, { text: 'Not a diagnosis.' }])
  })

  it('claims the profiles it meets, or those that are named, or none', () => {
    expect(written().meta?.profile).toHaveLength(3)
    expect(written({ profiles: ['http://hl7.org/x'] }).meta?.profile).toEqual(['http://hl7.org/x'])
    expect(written({ profiles: [] }).meta).toBeUndefined()
  })
})

describe('body position of an average', () => {
  const positions = (changes: Parameters<typeof exampleAverage>[0]) => {
    const { report, context } = exampleAverage(changes)
    const { extension } = averageObservation(report, context)
    return extension?.filter(({ url }) => url.endsWith('observation-bodyPosition')).length
  }

  it('is written when every reading averaged shares it', () => {
    expect(positions({ position: 'semi-recumbent' })).toBe(1)
  })

  it('is left out when readings differ', () => {
    const { report, context } = exampleAverage()
    const { average } = report
    const [one, ...others] = average.used
    if (one === undefined) throw new Error('nothing was averaged')
    const mixed = {
      ...average,
      used: [{ ...one, session: { ...one.session, position: 'standing' as const } }, ...others],
    }
    const { extension } = averageObservation({ ...report, average: mixed }, context)
    expect(extension?.some(({ url }) => url.endsWith('observation-bodyPosition'))).toBe(false)
  })
})

describe('a period in which nothing counts', () => {
  it.each([
    ['no session came', {}, 0],
    ['every session was at the clinic', { setting: 'clinic' as const }, 14],
  ])('has no values but their absence, and says why: %s', (_, changes, only) => {
    const { report, context } = exampleAverage(changes, only)
    const observation = averageObservation(report, context)
    const [systolic, diastolic, count] = observation.component ?? []
    for (const component of [systolic, diastolic]) {
      expect(component?.valueQuantity).toBeUndefined()
      expect(component?.dataAbsentReason?.coding?.[0]?.code).toBe('not-performed')
    }
    expect(count?.valueQuantity?.value).toBe(0)
    expect(observation.derivedFrom).toBeUndefined()
    expect(observation.note?.[0]?.text).toContain('No home average')
  })
})
