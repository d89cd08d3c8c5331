import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { expect, it } from 'vitest'
import { exampleAverage } from '../../../tests/support/example-average.ts'
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
