import type { Bundle, FhirResource, Observation, Provenance } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { exampleAverage } from '../../../../tests/support/example-average.ts'
import { laterRecord } from '../../../../tests/support/example-context.ts'
import { averageBundle } from './average-bundle.ts'
import { averageObservation } from './average-observation.ts'

function sent() {
  const { report, sittings, context } = exampleAverage()
  return { average: report.average, bundle: averageBundle(report, sittings, context) as Bundle<FhirResource> }
}

function observations(bundle: Bundle<FhirResource>, code: string): readonly Observation[] {
  return (bundle.entry ?? []).flatMap(({ resource }) =>
    resource?.resourceType === 'Observation' && resource.code.coding?.[0]?.code === code ? [resource] : [],
  )
}

it('carries every reading received, used or left out, and the average once', () => {
  const { average, bundle } = sent()
  expect(average.used.length + average.leftOut.length).toBe(28)
  expect(observations(bundle, '85354-9')).toHaveLength(28)
  expect(observations(bundle, '96607-7')).toHaveLength(1)
})

it('holds everything it refers to, so that it can be read alone', () => {
  const { bundle } = sent()
  const held = new Set(bundle.entry?.map(({ fullUrl }) => fullUrl))
  const references = JSON.stringify(bundle).match(/(?<="reference":")urn:uuid:[^"]+/g) ?? []
  expect(references.length).toBeGreaterThan(28)
  for (const reference of references) expect(held.has(reference)).toBe(true)
})

it('names no resource twice, though one monitor took every reading', () => {
  const { bundle } = sent()
  const urls = bundle.entry?.map(({ fullUrl }) => fullUrl)
  expect(new Set(urls).size).toBe(urls?.length)
  expect(bundle.entry?.filter(({ resource }) => resource?.resourceType === 'Device')).toHaveLength(1)
})

it('leaves ids to the server even when the average alone would carry them', () => {
  const { report, sittings, context } = exampleAverage()
  const withIds = { ...context, withIds: true }
  const bundle = averageBundle(report, sittings, withIds)
  expect(bundle.entry?.some(({ resource }) => resource?.id !== undefined)).toBe(false)
  const alone = averageObservation(report, withIds)
  expect(alone.id).toBe(alone.identifier?.[0]?.value)
  expect(alone.derivedFrom?.every(({ reference }) => reference?.startsWith('Observation/'))).toBe(true)
})

it('is the same text for the same period', () => {
  expect(JSON.stringify(sent().bundle)).toBe(JSON.stringify(sent().bundle))
})

describe('an amended average', () => {
  const { report, sittings, context } = exampleAverage()
  const changed = sittings.map((sitting, at) =>
    at === 0 ? { ...sitting, stored: laterRecord([sitting.session], true) } : sitting,
  )
  const first = averageBundle(report, sittings, context) as Bundle<FhirResource>
  const second = averageBundle(report, changed, { ...context, revision: 2 }) as Bundle<FhirResource>

  it('replaces the first under the same identifier, and says so', () => {
    const [before] = observations(first, '96607-7')
    const [after] = observations(second, '96607-7')
    expect(after?.identifier).toEqual(before?.identifier)
    expect([before?.status, after?.status]).toEqual(['final', 'amended'])
    expect(after?.note?.[0]?.text).toMatch(/^Amended: this replaces the average issued before/)
    const { request } = second.entry?.find(({ resource }) => resource === after) ?? {}
    const [own] = after?.identifier ?? []
    expect(request).toEqual({ method: 'PUT', url: `Observation?identifier=${own?.system}|${own?.value}` })
  })

  it('has a Provenance of its own that names the revision before', () => {
    const [before, after] = [first, second].map(({ entry }) => entry?.at(-1)?.resource as Provenance)
    expect(after?.meta?.tag?.[0]?.code).not.toBe(before?.meta?.tag?.[0]?.code)
    expect([before, after].map((one) => one?.activity?.coding?.[0]?.code)).toEqual(['CREATE', 'UPDATE'])
    expect(before?.entity?.map(({ role }) => role)).toEqual(['derivation'])
    expect(after?.entity?.map(({ role }) => role)).toEqual(['derivation', 'revision'])
    expect(after?.entity?.[1]?.what).toEqual({
      identifier: observations(first, '96607-7')[0]?.identifier?.[0],
      display: 'Revision 1 of this average',
    })
    expect(after?.target).toEqual(before?.target)
  })

  it('leaves the sessions that did not change as conditional creates', () => {
    const methods = observations(second, '85354-9').map(
      (reading) => second.entry?.find(({ resource }) => resource === reading)?.request?.method,
    )
    expect(methods.filter((method) => method === 'PUT')).toHaveLength(2)
    expect(methods.filter((method) => method === 'POST')).toHaveLength(26)
  })
})
