import type { Bundle, CodeSystem, FhirResource, Observation } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { EXAMPLE_RECORD, exampleContext } from '../../../../tests/support/example-context.ts'
import { profileJson, shippedThresholdSets } from '../../../../tests/support/shipped-profiles.ts'
import {
  dayAndNight,
  recordingPlan,
  shippedRecordingRule,
  worn,
} from '../../../../tests/support/worn-recording.ts'
import { averageRecording } from '../../clinical/ambulatory/average-recording.ts'
import { RECORDING_LEFT_OUT_REASONS } from '../../clinical/ambulatory/recording-average.ts'
import { recordingNarrative } from '../../clinical/ambulatory/recording-narrative.ts'
import { recordingSummary } from '../../clinical/ambulatory/recording-summary.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../clinical/attention/attention-limits.ts'
import type { CheckedSession } from '../../clinical/averaging/period-average.ts'
import { validateResource } from '../../validation/validate-resource.ts'
import { periodUuid, readingUuid, recordingUuid, sessionUuid } from '../identifiers.ts'
import { ownUrls } from '../own-urls.ts'
import { recordingBundle } from './recording-bundle.ts'
import type { RecordingContext } from './recording-context.ts'
import { recordingObservations } from './recording-observation.ts'

const PERIOD = periodUuid('harbour-app', 'P-1', 'chep-2017-recording', '2026-03-04')
const OWN = 'https://home-bp-gateway.example/fhir'
const WORN: readonly CheckedSession[] = [
  ...dayAndNight({ numbers: [135, 85, 71], times: 21 }, { numbers: [120, 70], times: 8 }),
  worn({ at: '2026-03-04T15:00:00Z', readings: [[130, null]], entry: 'typed', note: 'It failed.' }),
  worn({ at: '2026-03-05T09:00:00Z', readings: [[150, 90]] }),
]

function recorded(changes: Partial<RecordingContext> = {}, rule = 'chep-2017-recording', sittings = WORN) {
  const plan = recordingPlan(shippedRecordingRule(rule), 'Europe/Paris')
  const average = averageRecording(plan, sittings, shippedThresholdSets())
  const { source, canonicalBase, subject, positionAs, snomed } = exampleContext()
  const context: RecordingContext = {
    source,
    canonicalBase,
    subject,
    positionAs,
    snomed,
    period: PERIOD,
    revision: 1,
    issued: '2026-03-06T08:00:00Z',
    narrative: recordingNarrative(recordingSummary(average, DEFAULT_ATTENTION_LIMITS.high, 1)),
    decimals: 1,
    ...changes,
  }
  const submitted = sittings.map((sitting) => ({ ...sitting, stored: EXAMPLE_RECORD }))
  const bundle = recordingBundle(average, submitted, context) as Bundle<FhirResource>
  return { average, bundle, observations: recordingObservations(average, context) }
}

function codes({ code, component }: Observation) {
  return [code, ...(component ?? []).map((one) => one.code)].map(({ coding }) => coding?.[0]?.code)
}

describe('the means of a recording', () => {
  it('are 97844-5 with 8490-5 and 8472-3 for the 24 hours, and of our own code system for day and night', () => {
    const { observations } = recorded()
    expect(observations.map(codes)).toEqual([
      ['97844-5', '8490-5', '8472-3'],
      ['day-mean', '96608-5', '96609-3'],
      ['night-mean', '96608-5', '96609-3'],
    ])
    expect(observations.map(({ code }) => code.coding?.[0]?.system)).toEqual([
      'http://loinc.org',
      `${OWN}/CodeSystem/home-bp-gateway`,
      `${OWN}/CodeSystem/home-bp-gateway`,
    ])
    for (const { code } of observations) expect(code.text).toMatch(/mean/)
  })

  it('are written once, in mm[Hg], to the digits asked for', () => {
    const values = (decimals: 0 | 1) =>
      recorded({ decimals }).observations.map(({ component }) =>
        component?.map(({ valueQuantity }) => valueQuantity?.value),
      )
    // (21 x 135 + 8 x 120) / 29 = 130.86, (21 x 85 + 8 x 70) / 29 = 80.86
    expect(values(1)).toEqual([
      [130.9, 80.9],
      [135, 85],
      [120, 70],
    ])
    expect(values(0)[0]).toEqual([131, 81])
    for (const { component = [] } of recorded().observations) {
      for (const { valueQuantity } of component) {
        expect(valueQuantity).toMatchObject({ system: 'http://unitsofmeasure.org', code: 'mm[Hg]' })
      }
    }
  })

  it('derive from exactly the readings averaged in each', () => {
    const { average, observations } = recorded()
    const [all, day, night] = observations.map(({ derivedFrom = [] }) =>
      derivedFrom.map(({ reference }) => reference),
    )
    expect([all?.length, day?.length, night?.length]).toEqual([29, 21, 8])
    expect(new Set([...(day ?? []), ...(night ?? [])])).toEqual(new Set(all))
    const expected = average.used.map(
      ({ session, reading }) =>
        `urn:uuid:${readingUuid(sessionUuid('harbour-app', session.id), reading.ordinal)}`,
    )
    expect(all).toEqual(expected)
  })

  it('span the recording, from its first reading to its last, on the patient’s clock', () => {
    for (const { effectivePeriod } of recorded().observations) {
      expect(effectivePeriod).toEqual({
        start: '2026-03-04T09:00:00+01:00',
        end: '2026-03-05T02:30:00+01:00',
      })
    }
  })

  it('claim no profile, because the vitalsigns profile refuses a Period', () => {
    for (const { meta, category } of recorded().observations) {
      expect(meta).toBeUndefined()
      expect(category?.[0]?.coding?.[0]?.code).toBe('vital-signs')
    }
  })

  it('carry the label drawn for each and every reading left out', () => {
    const { observations } = recorded()
    for (const [index, set] of ['24-hours', 'day', 'night'].entries()) {
      const own = observations[index]?.extension ?? []
      const labels = own.filter(({ url }) => url === `${OWN}/StructureDefinition/average-label`)
      expect(labels.map(({ extension }) => extension?.[0]?.valueString)).toEqual([
        `ksh-2013-ambulatory-${set}`,
      ])
      const reasons = own
        .filter(({ url }) => url === `${OWN}/StructureDefinition/exclusion`)
        .map(({ extension }) => extension?.find(({ url }) => url === 'reason')?.valueCoding?.code)
      expect(reasons).toEqual(['pressure-missing', 'outside-recording'])
    }
  })

  it('have identifiers of their own that stay the same', () => {
    const values = recorded().observations.map(({ identifier }) => identifier?.[0]?.value)
    expect(values).toEqual(['24-hours', 'day', 'night'].map((span) => recordingUuid(PERIOD, span)))
    expect(new Set(values).size).toBe(3)
  })

  it('are absent with a reason where nothing counts, over the days that were asked for', () => {
    const { observations, bundle } = recorded({}, 'chep-2017-recording', [])
    expect(observations).toHaveLength(3)
    for (const { component = [], derivedFrom, effectivePeriod } of observations) {
      expect(component.map(({ dataAbsentReason }) => dataAbsentReason?.coding?.[0]?.code)).toEqual([
        'not-performed',
        'not-performed',
      ])
      expect(derivedFrom).toBeUndefined()
      expect(effectivePeriod?.start).toBe('2026-03-04T00:00:00+01:00')
      expect(effectivePeriod?.end).toBe('2026-03-05T23:59:59+01:00')
    }
    expect(errorsOf(bundle)).toEqual([])
  })
})

describe('the transaction', () => {
  it.each([
    ['by CHEP', recorded().bundle],
    ['by NICE', recorded({}, 'nice-ng136-recording').bundle],
    ['in whole numbers, by SNOMED CT', recorded({ decimals: 0, snomed: true }).bundle],
    ['amended', recorded({ revision: 2 }).bundle],
  ])('%s is valid', (_, bundle) => {
    expect(errorsOf(bundle)).toEqual([])
  })

  it.each(recorded({ withIds: true }).observations.map((one) => [one.code.text, one]))(
    'and %s alone is valid',
    (_, observation) => {
      expect(observation.id).toBe(observation.identifier?.[0]?.value)
      expect(observation.derivedFrom?.every(({ reference }) => reference?.startsWith('Observation/'))).toBe(
        true,
      )
      expect(errorsOf(observation)).toEqual([])
    },
  )

  it('holds everything it refers to, names nothing twice, and creates each thing once', () => {
    const { bundle, average } = recorded()
    const urls = (bundle.entry ?? []).map(({ fullUrl }) => fullUrl)
    expect(new Set(urls).size).toBe(urls.length)
    const references = JSON.stringify(bundle).match(/(?<="reference":")urn:uuid:[^"]+/g) ?? []
    expect(references.length).toBeGreaterThan(average.used.length)
    for (const reference of references) expect(urls).toContain(reference)
    for (const { request } of bundle.entry ?? []) expect(request?.ifNoneExist).toMatch(/\|/)
    expect(JSON.stringify(recorded().bundle)).toBe(JSON.stringify(bundle))
  })

  it('amends the same Observations, says so, and names what they revise', () => {
    const { bundle } = recorded({ revision: 2 })
    const means = (bundle.entry ?? []).filter(({ request }) => request?.method === 'PUT')
    expect(means.map(({ request }) => request?.url)).toEqual(
      ['24-hours', 'day', 'night'].map(
        (span) => `Observation?identifier=${OWN}/recording|${recordingUuid(PERIOD, span)}`,
      ),
    )
    for (const { resource } of means) {
      if (resource?.resourceType !== 'Observation') throw new TypeError('only Observations are amended')
      expect(resource.status).toBe('amended')
      expect(resource.note?.[0]?.text).toMatch(/^Amended/)
    }
    const provenance = bundle.entry?.at(-1)?.resource
    if (provenance?.resourceType !== 'Provenance') throw new TypeError('the Provenance comes last')
    expect(provenance.target).toHaveLength(3)
    expect(provenance.entity?.filter(({ role }) => role === 'revision')).toHaveLength(3)
  })
})

describe('our code system', () => {
  const system = profileJson('code-systems/home-bp-gateway.json') as CodeSystem

  it('is a complete R4 CodeSystem under our URL', () => {
    expect(system).toMatchObject({
      resourceType: 'CodeSystem',
      url: ownUrls(OWN).codeSystem,
      status: 'active',
      content: 'complete',
      caseSensitive: true,
    })
    expect(system.url?.endsWith(`/CodeSystem/${system.id}`)).toBe(true)
    for (const { code, display, definition } of system.concept ?? []) {
      expect(code).toMatch(/^[a-z0-9-]+$/)
      expect([display, definition]).not.toContain(undefined)
    }
  })

  it('has every code that a recording is written with, each once and by the same name', () => {
    const known = new Map(system.concept?.map(({ code, display }) => [code, display]))
    expect(known.size).toBe(system.concept?.length)
    const written = recorded().observations.flatMap(({ code }) => code.coding ?? [])
    for (const { code = '', display } of written.filter((one) => one.system === system.url)) {
      expect(known.get(code)).toBe(display)
    }
    for (const reason of RECORDING_LEFT_OUT_REASONS) expect([...known.keys()]).toContain(reason)
  })
})

function errorsOf(resource: unknown) {
  return validateResource(JSON.parse(JSON.stringify(resource))).filter(
    ({ severity }) => severity !== 'warning' && severity !== 'information',
  )
}
