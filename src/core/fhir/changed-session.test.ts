import type { Bundle, BundleEntry, FhirResource, Observation, Provenance } from 'fhir/r4.js'
import { describe, expect, it } from 'vitest'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../tests/support/example-context.ts'
import { exampleReading, exampleSession, inMmHg } from '../../../tests/support/example-session.ts'
import { provenanceUuid, readingUuid } from './identifiers.ts'
import { sessionBundle } from './session/session-bundle.ts'
import type { SubmittedRecord } from './submitted-record.ts'

const context = exampleContext()
const first = exampleSession()
const corrected = exampleSession({
  readings: [
    exampleReading({ systolic: inMmHg(131) }),
    exampleReading({ ordinal: 3, systolic: inMmHg(128) }),
  ],
})

function sent(session: typeof first, record: SubmittedRecord): Bundle<FhirResource> {
  return sessionBundle(session, [], context, record) as Bundle<FhirResource>
}

type ReadingEntry = BundleEntry<FhirResource> & { resource: Observation }

function readings({ entry = [] }: Bundle<FhirResource>): readonly ReadingEntry[] {
  return entry.filter(
    (one): one is ReadingEntry =>
      one.resource?.resourceType === 'Observation' && one.resource.code.coding?.[0]?.code === '85354-9',
  )
}

function provenance({ entry = [] }: Bundle<FhirResource>): Provenance {
  const resource = entry.at(-1)?.resource
  if (resource?.resourceType !== 'Provenance') throw new Error('the last entry is not a Provenance')
  return resource
}

function statuses(bundle: Bundle<FhirResource>): Readonly<Record<string, string>> {
  const ordinalOf = new Map([1, 2, 3].map((ordinal) => [readingUuid(context.sessionUuid, ordinal), ordinal]))
  return Object.fromEntries(
    readings(bundle).map(({ resource }) => [
      ordinalOf.get(resource.identifier?.[0]?.value ?? ''),
      resource.status,
    ]),
  )
}

describe('a corrected session', () => {
  const bundle = sent(corrected, laterRecord([first]))

  it('amends what was there, adds what is new as final, and marks what is gone as entered in error', () => {
    expect(statuses(bundle)).toEqual({ 1: 'amended', 2: 'entered-in-error', 3: 'final' })
  })

  it('writes the new numbers under the old identifier, and the old ones of what is gone', () => {
    const values = readings(bundle).map(({ resource }) => resource.component?.[0]?.valueQuantity?.value)
    expect(values).toEqual([131, 128, 134])
  })

  it('updates each Observation by its identifier, and creates none', () => {
    for (const { request, resource } of readings(bundle)) {
      const [own] = resource.identifier ?? []
      expect(request).toEqual({ method: 'PUT', url: `Observation?identifier=${own?.system}|${own?.value}` })
    }
    const pulses = bundle.entry?.filter(({ resource }) => resource?.resourceType === 'Observation')
    expect(pulses?.every(({ request }) => request?.method === 'PUT')).toBe(true)
  })

  it('has a Provenance of its own that names the version it revises and all that was written', () => {
    const { meta, activity, entity, target } = provenance(bundle)
    expect(meta?.tag?.[0]?.code).toBe(provenanceUuid(context.sessionUuid, 2))
    expect(meta?.tag?.[0]?.code).not.toBe(provenance(sent(first, EXAMPLE_RECORD)).meta?.tag?.[0]?.code)
    expect(activity?.coding?.[0]?.code).toBe('UPDATE')
    expect(entity?.map(({ role }) => role)).toEqual(['source', 'revision'])
    expect(entity?.[1]?.what.identifier?.value).toBe(context.sessionUuid)
    expect(target).toHaveLength(
      bundle.entry?.filter(({ resource }) => resource?.resourceType === 'Observation').length ?? 0,
    )
  })

  it('takes what is gone from the newest version that had it', () => {
    const second = exampleSession({
      readings: [exampleReading(), exampleReading({ ordinal: 2, systolic: inMmHg(99) })],
    })
    const third = sent(exampleSession({ readings: [exampleReading()] }), laterRecord([first, second]))
    const gone = readings(third).find(({ resource }) => resource.status === 'entered-in-error')
    expect(gone?.resource.component?.[0]?.valueQuantity?.value).toBe(99)
  })

  it('holds the monitor that only an earlier version names, once', () => {
    const device = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }
    const bundles = [
      sent(exampleSession({ readings: [exampleReading()] }), laterRecord([exampleSession({ device })])),
      sent(
        exampleSession({ device, readings: [exampleReading()] }),
        laterRecord([exampleSession({ device }), exampleSession({ device })]),
      ),
    ]
    for (const { entry = [] } of bundles) {
      expect(entry.filter(({ resource }) => resource?.resourceType === 'Device')).toHaveLength(1)
      expect(new Set(entry.map(({ fullUrl }) => fullUrl)).size).toBe(entry.length)
    }
  })
})

describe('a session that was taken back', () => {
  const bundle = sent(corrected, laterRecord([first, corrected], true))

  it('is entered in error in full, readings of every version included, and keeps its numbers', () => {
    expect(statuses(bundle)).toEqual({ 1: 'entered-in-error', 2: 'entered-in-error', 3: 'entered-in-error' })
    for (const { resource } of readings(bundle)) {
      expect(resource.component?.[0]?.valueQuantity?.value).toBeGreaterThan(0)
    }
  })

  it('has the Provenance of its last version', () => {
    expect(provenance(bundle).meta?.tag?.[0]?.code).toBe(provenanceUuid(context.sessionUuid, 3))
  })
})
