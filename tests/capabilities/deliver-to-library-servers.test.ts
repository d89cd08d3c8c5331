/**
 * FHIR servers that nobody here wrote, with transactions and without, take the whole of what is delivered, once, by every
 * way there is; a FHIR client that nobody here wrote reads it back.
 */
import type { Bundle, FhirResource, Observation } from 'fhir/r4.js'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { attentionUuid, averageUuid, readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { ownUrls } from '../../src/core/fhir/own-urls.ts'
import { startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { readScenario } from '../../src/shell/cli/demo/scenario.ts'
import { ClinicReader, uuidOf } from '../support/library-clinics/clinic-reader.ts'
import { asAnywhere, type HeldContent, heldContent } from '../support/library-clinics/held-content.ts'
import { startPlainClinic } from '../support/library-clinics/start-plain-clinic.ts'
import {
  bringEverything,
  type WholeDelivery,
  type WholeOptions,
} from '../support/library-clinics/whole-delivery.ts'
import { DESTINATION, recordsOf, SOURCE, samplePerson } from '../support/open-flows.ts'

const PEOPLE = [samplePerson('HW-1002'), samplePerson('HW-1005')]
const PATIENTS = readScenario().people.map(({ patient, name }) => ({ identifier: patient, name }))

/** Less, where it is about the way and not about what is brought. */
const FEW = { people: [samplePerson('HW-1005')], sessions: 5 }

const withTransactions = () => startClinicServer({ patients: PATIENTS })
const without = () => startPlainClinic(PATIENTS, { updateCreate: false })
const withOwnIds = () => startPlainClinic(PATIENTS, { updateCreate: true })

interface Clinic {
  readonly baseUrl: string
  close(): Promise<void>
}

/** A clinic to which everything was brought, and what it holds of it. */
interface Brought {
  readonly clinic: Clinic
  readonly whole: WholeDelivery
  readonly reader: ClinicReader
  readonly content: HeldContent
}

async function bring(start: () => Promise<Clinic>, options: Partial<WholeOptions> = {}): Promise<Brought> {
  const clinic = await start()
  const whole = await bringEverything(clinic.baseUrl, { people: PEOPLE, ...options })
  const reader = new ClinicReader(clinic.baseUrl)
  return { clinic, whole, reader, content: await heldContent(reader) }
}

async function leave({ clinic, whole }: Brought): Promise<void> {
  await whole.flows.close()
  await clinic.close()
}

/** The same once more, by a gateway that lost its memory. What it came to, and what the clinic holds then. */
async function bringAgain({ clinic, reader }: Brought, options: Partial<WholeOptions> = {}) {
  const whole = await bringEverything(clinic.baseUrl, { people: PEOPLE, ...options })
  const states = new Set((await whole.entries()).map(({ state }) => state))
  await whole.flows.close()
  return { rounds: whole.rounds, states: [...states], content: await heldContent(reader) }
}

/** Of an issued average's bundle, each resource as it would stand in any clinic, by our UUID. */
function issuedContent(bundle: string): HeldContent {
  const { entry = [] }: Bundle<FhirResource> = JSON.parse(bundle)
  return Object.fromEntries(
    entry.flatMap(({ resource }) =>
      resource === undefined ? [] : [[uuidOf(resource), asAnywhere(resource, nameInBundle)]],
    ),
  )
}

function nameInBundle(reference: string): string | undefined {
  const [, patient] = /^Patient\?identifier=[^|]+\|(.+)$/.exec(reference) ?? []
  return reference.startsWith('urn:uuid:') ? reference.slice('urn:uuid:'.length) : patient
}

async function issuedOf(whole: WholeDelivery, subject: string) {
  const period = whole.periods.get(subject) ?? ''
  const averages = await whole.flows.ports.store.issuedAverages(period)
  return { uuid: averageUuid(period), bundles: averages.map(({ bundle }) => issuedContent(bundle)) }
}

/** Systolic and diastolic as they stand, in mmHg. */
function pressureOf({ component = [] }: Observation): readonly (number | undefined)[] {
  return ['8480-6', '8462-4'].map(
    (loinc) =>
      component.find(({ code }) => code.coding?.some(({ code }) => code === loinc))?.valueQuantity?.value,
  )
}

const readingOf = (session: string, ordinal: number) => readingUuid(sessionUuid(SOURCE, session), ordinal)
const byUuid = (kind: 'reading' | 'average' | 'attention', uuid: string) => ({
  identifier: `${ownUrls(DEFAULT_CANONICAL_BASE).identifier[kind]}|${uuid}`,
})

describe.each([
  ['with transactions', withTransactions, 'transaction'],
  ['without transactions', without, 'search-first'],
] as const)('a server %s', (_, start, rung) => {
  let at: Brought
  beforeAll(async () => {
    at = await bring(start)
  })
  afterAll(() => leave(at))

  it(`is served by the way ${rung}, and nothing is left to do`, async () => {
    const rows = await at.whole.flows.ports.store.auditPage({ limit: 1000 })
    expect(rows.filter(({ action }) => action === 'route-chosen')).toMatchObject([{ detail: { rung } }])
    const entries = await at.whole.entries()
    expect(entries.length).toBeGreaterThan(30)
    expect(new Set(entries.map(({ state }) => state))).toEqual(new Set(['settled']))
    expect(new Set(entries.map(({ kind }) => kind))).toEqual(new Set(['session', 'average', 'attention']))
  })

  it('holds every reading of the samples once, as it was measured, about its own patient', async () => {
    const { changes, rounds } = at.whole
    const held = new Map((await at.reader.all('Observation')).map((one) => [uuidOf(one), one]))
    let readings = 0
    for (const person of PEOPLE) {
      const { id } = await at.reader.only('Patient', {
        identifier: `${person.patient.system}|${person.patient.value}`,
      })
      for (const record of recordsOf(person)) {
        const told = record.id === changes.corrected.id ? changes.corrected : record
        for (const [index, { systolic, diastolic }] of told.readings.entries()) {
          const reading = held.get(readingOf(record.id, index + 1))
          readings += 1
          expect(reading && pressureOf(reading)).toEqual([systolic, diastolic])
          expect(reading?.subject?.reference).toBe(`Patient/${id}`)
        }
      }
    }
    const panels = [...held.values()].filter(({ code }) =>
      code.coding?.some(({ code }) => code === '85354-9'),
    )
    expect(panels).toHaveLength(readings + 1)
    expect(rounds.every(({ givenUp, parked, waiting }) => givenUp + parked + waiting === 0)).toBe(true)
  })

  it.each(PEOPLE)('holds the average of $subject as it was issued, in every version', async ({ subject }) => {
    const { uuid, bundles } = await issuedOf(at.whole, subject)
    const average = await at.reader.only('Observation', byUuid('average', uuid))
    const versions = await at.reader.versions('Observation', average.id ?? '')
    expect(versions.map(({ status }) => status)).toEqual(['final', 'amended'])
    expect(new Set(versions.map(({ meta }) => meta?.versionId)).size).toBe(2)

    const newest = bundles.at(-1) ?? {}
    expect(Object.keys(newest).length).toBeGreaterThan(20)
    expect(at.content).toMatchObject(newest)
    const everything = [...(await at.reader.all('Observation')), ...(await at.reader.all('Patient'))]
    const names = new Map(everything.map((one) => [`${one.resourceType}/${one.id}`, uuidOf(one)]))
    expect(versions.map((version) => asAnywhere(version, (one) => names.get(one)))).toEqual(
      bundles.map((bundle) => bundle[uuid]),
    )
  })

  it('holds an average whose links a client can follow', async () => {
    const { uuid } = await issuedOf(at.whole, 'HW-1002')
    const average = await at.reader.only('Observation', byUuid('average', uuid))
    expect(await at.reader.follow(average.subject?.reference)).toMatchObject({
      resourceType: 'Patient',
      identifier: [PEOPLE[0]?.patient],
    })
    expect(average.derivedFrom?.length).toBeGreaterThan(10)
    for (const { reference } of average.derivedFrom ?? []) {
      expect(await at.reader.follow(reference)).toMatchObject({ resourceType: 'Observation' })
    }
  })

  it('has the corrected reading amended, its first value in the history', async () => {
    const { corrected } = at.whole.changes
    const { id } = await at.reader.only('Observation', byUuid('reading', readingOf(corrected.id, 1)))
    const versions = await at.reader.versions('Observation', id ?? '')
    const systolic = corrected.readings[0]?.systolic ?? 0
    expect(versions.map((version) => [version.status, pressureOf(version)[0]])).toEqual([
      ['final', systolic - 20],
      ['amended', systolic],
    ])
  })

  it('has what was withdrawn entered in error, and still knows what it was', async () => {
    const { withdrawn } = at.whole.changes
    for (const [index, { systolic }] of withdrawn.readings.entries()) {
      const uuid = readingOf(withdrawn.id, index + 1)
      const { id } = await at.reader.only('Observation', byUuid('reading', uuid))
      const versions = await at.reader.versions('Observation', id ?? '')
      expect(versions.map((version) => [version.status, pressureOf(version)[0]])).toEqual([
        ['final', systolic],
        ['entered-in-error', systolic],
      ])
    }
  })

  it('has the call for attention, which leads to the reading it is about', async () => {
    const { calls } = at.whole.changes
    const uuid = attentionUuid(sessionUuid(SOURCE, calls.id), 'very-high')
    const call = await at.reader.only('Observation', byUuid('attention', uuid))
    expect(call).toMatchObject({ status: 'final', valueBoolean: true })
    const reading = await at.reader.follow(call.derivedFrom?.[0]?.reference)
    expect(reading.resourceType === 'Observation' && pressureOf(reading)).toEqual([186, 101])
  })

  it('is brought everything again by a gateway that lost its memory, and makes nothing twice', async () => {
    const again = await bringAgain(at)
    expect(again.states).toEqual(['settled'])
    expect(again.rounds.map(({ created }) => created)).toEqual([0, 0, 0])
    expect(again.content).toEqual(at.content)
    const { uuid } = await issuedOf(at.whole, 'HW-1002')
    const average = await at.reader.only('Observation', byUuid('average', uuid))
    expect(await at.reader.versions('Observation', average.id ?? '')).toHaveLength(2)
  })
})

describe('by every way there is', () => {
  /** What a clinic holds to which the same was brought in transactions. */
  let inTransactions: HeldContent
  beforeAll(async () => {
    const brought = await bring(withTransactions, FEW)
    inTransactions = brought.content
    await leave(brought)
  })

  describe.each([
    ['with transactions', withTransactions, { rung: 'conditional-create' }, 'conditional-create'],
    ['with transactions', withTransactions, { rung: 'own-id' }, 'own-id'],
    ['with transactions', withTransactions, { rung: 'search-first' }, 'search-first'],
    ['without transactions', without, {}, 'search-first'],
    ['without transactions that takes ids of ours', withOwnIds, {}, 'own-id'],
  ] as const)('a server %s, given %j', (_, start, destination, rung) => {
    let at: Brought
    beforeAll(async () => {
      at = await bring(start, { ...FEW, destination })
    })
    afterAll(() => leave(at))

    it(`holds in the end, by the way ${rung}, what any clinic holds`, async () => {
      expect((await at.whole.flows.ports.store.route(DESTINATION))?.used).toEqual([rung])
      expect(new Set((await at.whole.entries()).map(({ state }) => state))).toEqual(new Set(['settled']))
      expect(at.content).toEqual(inTransactions)
    })

    it('is known to hold each resource under its id and version', async () => {
      const subjects = PEOPLE.map(({ subject }) => ({ source: SOURCE, subject }))
      const held = await at.whole.flows.ports.store.held(DESTINATION, subjects, Object.keys(at.content))
      const everything = [
        ...(await at.reader.all('Device')),
        ...(await at.reader.all('Observation')),
        ...(await at.reader.all('Provenance')),
      ]
      expect(Object.fromEntries([...held].map(([uuid, { id, version }]) => [uuid, [id, version]]))).toEqual(
        Object.fromEntries(everything.map((one) => [uuidOf(one), [one.id, one.meta?.versionId]])),
      )
      const isOurs = everything.map((one) => one.id === uuidOf(one))
      expect(new Set(isOurs)).toEqual(new Set([rung === 'own-id']))
    })

    it('holds the same after everything was brought again, and in no moment what was amended or withdrawn', async () => {
      const again = await bringAgain(at, { ...FEW, destination })
      expect(again.states).toEqual(['settled'])
      expect(again.content).toEqual(inTransactions)
      for (const { id } of await at.reader.all('Observation')) {
        const [, ...later] = await at.reader.versions('Observation', id ?? '')
        expect(later.map(({ status }) => status)).not.toContain('final')
      }
    })
  })
})
