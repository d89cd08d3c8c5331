/**
 * What a destination asks for, and what a clinic does to what it holds, with FHIR servers that nobody here wrote: one with
 * transactions and versioned updates, one with neither.
 */
import type { Observation } from 'fhir/r4.js'
import { Client } from 'fhir-kit-client'
import { afterEach, describe, expect, it } from 'vitest'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { averageUuid, periodUuid, readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { ownUrls } from '../../src/core/fhir/own-urls.ts'
import { startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { ClinicReader, type HeldOf, uuidOf } from '../support/library-clinics/clinic-reader.ts'
import { heldContent } from '../support/library-clinics/held-content.ts'
import { startPlainClinic } from '../support/library-clinics/start-plain-clinic.ts'
import {
  bringEverything,
  type WholeDelivery,
  type WholeOptions,
} from '../support/library-clinics/whole-delivery.ts'
import { recordsOf, SOURCE, samplePerson } from '../support/open-flows.ts'

const PERSON = samplePerson('HW-1002')
const PATIENTS = [{ identifier: PERSON.patient, name: PERSON.name }]
const AVERAGE = averageUuid(periodUuid(SOURCE, PERSON.subject, PERSON.protocol, PERSON.firstDay))
const OWN = ownUrls(DEFAULT_CANONICAL_BASE)

const SERVERS = [
  ['with transactions', () => startClinicServer({ patients: PATIENTS })],
  ['without transactions', () => startPlainClinic(PATIENTS, { updateCreate: false })],
] as const

let clinic: { readonly baseUrl: string; close(): Promise<void> }
let reader: ClinicReader
let deliveries: WholeDelivery[] = []

async function start(open: (typeof SERVERS)[number][1]): Promise<void> {
  clinic = await open()
  reader = new ClinicReader(clinic.baseUrl)
}
afterEach(async () => {
  await Promise.all(deliveries.map(({ flows }) => flows.close()))
  deliveries = []
  await clinic.close()
})

/** Brings to the clinic five sessions of a person with the average and all that follows; everything must be settled. */
async function bring(options: Partial<WholeOptions> = {}): Promise<WholeDelivery> {
  const whole = await bringEverything(clinic.baseUrl, { people: [PERSON], sessions: 5, ...options })
  deliveries.push(whole)
  expect(new Set((await whole.entries()).map(({ state }) => state))).toEqual(new Set(['settled']))
  return whole
}

async function average(): Promise<HeldOf<'Observation'>> {
  return reader.only('Observation', { identifier: `${OWN.identifier.average}|${AVERAGE}` })
}

async function averageVersions() {
  return reader.versions('Observation', (await average()).id ?? '')
}

/** A reading of the first session, which nothing is changed of. */
async function reading(): Promise<HeldOf<'Observation'>> {
  const [first] = recordsOf(PERSON)
  const uuid = readingUuid(sessionUuid(SOURCE, first?.id ?? ''), 1)
  return reader.only('Observation', { identifier: `${OWN.identifier.reading}|${uuid}` })
}

/** Tags the average as someone at the clinic would: read, and put back with a tag more. */
async function tagAverage(code: string): Promise<void> {
  const held = await average()
  const tag = [...(held.meta?.tag ?? []), { system: 'https://clinic.example/review', code }]
  const client = new Client({ baseUrl: clinic.baseUrl })
  await client.update({
    resourceType: 'Observation',
    id: held.id ?? '',
    body: { ...held, meta: { ...held.meta, tag } },
  })
}

const told = ({ status, meta, derivedFrom }: Observation) => [
  status,
  (meta?.tag ?? []).map(({ code }) => code).join(),
  derivedFrom?.length,
]

describe.each(SERVERS)('a clinic that wants no readings, on a server %s', (_, open) => {
  it('has the averages and calls for attention alone, once, which name the readings by their identifiers', async () => {
    await start(open)
    await bring({ destination: { readings: 'never' } })
    const held = await reader.all('Observation')
    expect(held.map(({ identifier }) => identifier?.[0]?.system).sort()).toEqual([
      OWN.identifier.attention,
      OWN.identifier.average,
    ])
    for (const { derivedFrom = [] } of held) {
      expect(derivedFrom.length).toBeGreaterThan(0)
      for (const one of derivedFrom) {
        expect(one).toEqual({
          type: 'Observation',
          identifier: { system: OWN.identifier.reading, value: expect.any(String) },
        })
      }
    }
    expect((await averageVersions()).map(({ status }) => status)).toEqual(['final', 'amended'])
    const content = await heldContent(reader)
    const again = await bring({ destination: { readings: 'never' } })
    expect(again.rounds.map(({ created }) => created)).toEqual([0, 0, 0])
    expect(await heldContent(reader)).toEqual(content)
    expect(await averageVersions()).toHaveLength(2)
  })
})

const US_CORE = 'http://hl7.org/fhir/us/core'
const R4_PRESSURE = 'http://hl7.org/fhir/StructureDefinition/bp'
const R4_VITAL_SIGNS = 'http://hl7.org/fhir/StructureDefinition/vitalsigns'

const ADORNED = {
  claims: ['us-core', 'vital-signs', 'own'],
  tags: [{ system: 'https://clinic.example/tags', code: 'remote' }],
  patientSupplied: true,
  identifiers: [{ system: 'https://clinic.example/programme', value: 'home-2026' }],
}

/** As US Core 8 has it. */
const SUPPLIED = { system: `${US_CORE}/CodeSystem/us-core-tags`, code: 'patient-supplied' }

describe.each(SERVERS)('what a destination wants to find on every resource, on a server %s', (_, open) => {
  it('is there, and nothing is made twice for it', async () => {
    await start(open)
    await bring({ destination: ADORNED })
    const resources = [await reading(), ...(await averageVersions())]
    const average = [
      `${US_CORE}/StructureDefinition/us-core-average-blood-pressure`,
      OWN.profile.periodAverage,
    ]
    const claimed = [
      [
        R4_PRESSURE,
        R4_VITAL_SIGNS,
        `${US_CORE}/StructureDefinition/us-core-blood-pressure`,
        OWN.profile.homeReading,
      ],
      average,
      average,
    ]
    expect(resources.map(({ meta }) => meta?.profile)).toEqual(
      claimed.map((profiles) => expect.arrayContaining(profiles)),
    )
    for (const { meta, identifier } of resources) {
      expect(meta?.tag).toEqual([...ADORNED.tags, SUPPLIED])
      expect(identifier?.slice(1)).toEqual(ADORNED.identifiers)
    }
    const [device] = await reader.all('Device')
    expect([device?.meta?.tag, device?.identifier?.slice(1)]).toEqual([ADORNED.tags, ADORNED.identifiers])
    const content = await heldContent(reader)
    const again = await bring({ destination: ADORNED })
    expect(again.rounds.map(({ created }) => created)).toEqual([0, 0, 0])
    expect(await heldContent(reader)).toEqual(content)
  })
})

describe.each(SERVERS)('what the clinic added to an average, on a server %s', (_, open) => {
  it('stays when the average is amended', async () => {
    await start(open)
    await bring({ beforeChanges: () => tagAverage('seen') })
    const versions = await averageVersions()
    expect(versions.map((version) => told(version).slice(0, 2))).toEqual([
      ['final', ''],
      ['final', 'seen'],
      ['amended', 'seen'],
    ])
  })
})

describe('an average that someone at the clinic changes while it is being amended', () => {
  it.each([
    ['in a transaction', {}],
    ['by itself', { rung: 'conditional-create' }],
  ])(
    'is amended %s under the version that was read, so that neither change is lost',
    async (_, destination) => {
      await start(SERVERS[0][1])
      let meanwhile = 0
      await bring({
        destination,
        async beforeRequest({ method, body = '', ifMatch }) {
          const isAmendment = body.includes(AVERAGE) && body.includes('"amended"')
          const isConditional = ifMatch !== undefined || body.includes('"ifMatch":"W/')
          if (method === 'GET' || !isAmendment || !isConditional || meanwhile > 0) return
          meanwhile += 1
          await tagAverage('seen')
        },
      })
      expect(meanwhile).toBe(1)
      expect((await averageVersions()).map((version) => told(version).slice(0, 2))).toEqual([
        ['final', ''],
        ['final', 'seen'],
        ['amended', 'seen'],
      ])
      expect(uuidOf(await average())).toBe(AVERAGE)
    },
  )
})
