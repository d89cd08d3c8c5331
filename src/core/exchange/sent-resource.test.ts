import type { Bundle } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { exampleAverage } from '../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../tests/support/example-context.ts'
import { exampleReading, exampleSession } from '../../../tests/support/example-session.ts'
import { NO_FINDINGS } from '../clinical/finding.ts'
import { attentionBundle } from '../fhir/attention/attention-bundle.ts'
import { averageBundle } from '../fhir/average/average-bundle.ts'
import { sessionBundle } from '../fhir/session/session-bundle.ts'
import { type SentResource, sentResources } from './sent-resource.ts'

const device = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }

function sessionTransaction(): Bundle {
  return sessionBundle(exampleSession({ device }), NO_FINDINGS, exampleContext(), EXAMPLE_RECORD)
}

function correctedTransaction(): Bundle {
  const before = exampleSession({ device })
  const now = exampleSession({ device, readings: [exampleReading()] })
  return sessionBundle(now, NO_FINDINGS, exampleContext(), laterRecord([before]))
}

function averageTransaction(revision = 1): Bundle {
  const { report, sittings, context } = exampleAverage()
  return averageBundle(report, sittings, { ...context, revision })
}

function attentionTransaction(): Bundle {
  return attentionBundle('very-high', exampleSession(), NO_FINDINGS, exampleContext(), EXAMPLE_RECORD)
}

const bundles: readonly (readonly [string, Bundle])[] = [
  ['a session', sessionTransaction()],
  ['a corrected session', correctedTransaction()],
  ['an average', averageTransaction()],
  ['an amended average', averageTransaction(2)],
  ['a call for attention', attentionTransaction()],
]

describe.each(bundles)('the resources of %s', (_, bundle) => {
  const sent = sentResources(bundle)

  it('are those of the bundle, each once', () => {
    expect(sent.map(({ uuid }) => `urn:uuid:${uuid}`).toSorted()).toEqual(
      (bundle.entry ?? []).map(({ fullUrl }) => fullUrl).toSorted(),
    )
    for (const { resource, uuid } of sent) {
      const entry = bundle.entry?.find(({ fullUrl }) => fullUrl === `urn:uuid:${uuid}`)
      expect(resource).toBe(entry?.resource)
    }
  })

  it('stand after all that they refer to', () => {
    const before = new Set<string>()
    for (const { uuid, refersTo } of sent) {
      for (const target of refersTo) expect(before).toContain(target)
      before.add(uuid)
    }
  })

  it('are found by what each carries itself', () => {
    for (const { key, uuid, resource } of sent) {
      expect(key.value).toBe(uuid)
      expect(carried(resource)).toContainEqual([key.parameter, key.system, key.value])
    }
  })

  it('name every reference inside the bundle', () => {
    for (const { resource, refersTo } of sent) {
      const named = [...JSON.stringify(resource).matchAll(/"urn:uuid:([0-9a-f-]+)"/g)].map(([, uuid]) => uuid)
      expect(refersTo.toSorted()).toEqual([...new Set(named)].toSorted())
    }
  })
})

function carried(resource: SentResource['resource']): readonly unknown[] {
  if (resource.resourceType === 'Provenance') {
    return (resource.meta?.tag ?? []).map(({ system, code }) => ['_tag', system, code])
  }
  return (resource.identifier ?? []).map(({ system, value }) => ['identifier', system, value])
}

describe('sentResources', () => {
  it('keeps the order of the bundle where references allow it', () => {
    const bundle = sessionTransaction()
    expect(sentResources(bundle).map(({ uuid }) => `urn:uuid:${uuid}`)).toEqual(
      bundle.entry?.map(({ fullUrl }) => fullUrl),
    )
  })

  it('puts what is referred to first whatever the order of the bundle', () => {
    const bundle = sessionTransaction()
    const backwards = sentResources({ ...bundle, entry: bundle.entry?.toReversed() ?? [] })
    const types = backwards.map(({ type }) => type)
    expect(types.at(0)).toBe('Device')
    expect(types.at(-1)).toBe('Provenance')
  })

  it('tells what is created from what is brought up to date', () => {
    expect(new Set(sentResources(sessionTransaction()).map(({ intent }) => intent))).toEqual(
      new Set(['create']),
    )
    const corrected = sentResources(correctedTransaction())
    expect(
      corrected.filter(({ type }) => type === 'Observation').every(({ intent }) => intent === 'update'),
    ).toBe(true)
    expect(
      corrected.filter(({ type }) => type !== 'Observation').every(({ intent }) => intent === 'create'),
    ).toBe(true)
  })

  const [first, ...rest] = sessionTransaction().entry ?? []

  it.each([
    ['a resource that we do not send', { ...first, resource: { resourceType: 'Patient' } }],
    ['no resource', { ...first, resource: undefined }],
    ['an address instead of a UUID', { ...first, fullUrl: 'https://clinic.example/fhir/Device/1' }],
    ['a create without a condition', { ...first, request: { method: 'POST', url: 'Device' } }],
    ['an update by id', { ...first, request: { method: 'PUT', url: 'Device/1' } }],
    ['another condition', { ...first, request: { method: 'POST', url: 'Device', ifNoneExist: 'type=x|y' } }],
  ])('throws at an entry with %s', (_, entry) => {
    // Other shapes than our own are the point here.
    const bundle = { resourceType: 'Bundle', type: 'transaction', entry: [entry, ...rest] } as Bundle
    expect(() => sentResources(bundle)).toThrow(TypeError)
  })

  it('throws at a resource that stands twice, one that refers outside the bundle, and a circle', () => {
    const bundle = sessionTransaction()
    const entry = bundle.entry ?? []
    expect(() => sentResources({ ...bundle, entry: [...entry, ...entry] })).toThrow('twice')
    expect(() => sentResources({ ...bundle, entry: entry.slice(1) })).toThrow('not in the bundle')
    const [a, b] = entry.slice(1)
    if (a?.resource?.resourceType !== 'Observation' || b?.resource?.resourceType !== 'Observation') {
      throw new Error('the session has no two Observations')
    }
    const circle = [
      { ...a, resource: { ...a.resource, derivedFrom: [{ reference: `${b.fullUrl}` }] } },
      { ...b, resource: { ...b.resource, derivedFrom: [{ reference: `${a.fullUrl}` }] } },
    ]
    expect(() => sentResources({ ...bundle, entry: [...entry.slice(0, 1), ...circle] })).toThrow('circle')
  })
})
