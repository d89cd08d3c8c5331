/** Everything the gateway makes of the sample people is taken by a FHIR server that nobody here wrote, once. */
import { readFileSync } from 'node:fs'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Person, samplePeople } from '../../samples/generator/people.ts'
import { sampleSessions } from '../../samples/generator/sample-sessions.ts'
import { addDays } from '../../src/core/basics/local-day.ts'
import { averageNarrative } from '../../src/core/clinical/averaging/average-narrative.ts'
import { averagePeriod } from '../../src/core/clinical/averaging/average-period.ts'
import { averageSummary } from '../../src/core/clinical/averaging/average-summary.ts'
import { readProtocol } from '../../src/core/clinical/protocol/read-protocol.ts'
import { averageBundle } from '../../src/core/fhir/average-bundle.ts'
import { periodUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { sessionBundle } from '../../src/core/fhir/session-bundle.ts'
import { readSession } from '../../src/core/mapping/read-session.ts'
import type { Destination } from '../../src/core/registry/destination.ts'
import { checkSession } from '../../src/flow/check-session.ts'
import type { ClinicServers } from '../../src/flow/ports.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/post-transaction.ts'
import { recordedLog } from '../support/recorded-log.ts'

const source = 'harbour-app'
const stored = { sha256: '0'.repeat(64), receivedAt: '2026-04-01T00:00:00Z' }

let clinic: ClinicServer
let servers: ClinicServers
let destination: Destination

beforeAll(async () => {
  const patients = samplePeople().map(({ patient, name }) => ({ identifier: patient, name }))
  clinic = await startClinicServer({ patients })
  servers = createClinicServers({ clock: { now: Date.now }, log: recordedLog(), newRequestId: () => 'r' })
  destination = {
    name: 'lantern-bay',
    baseUrl: clinic.baseUrl,
    access: { kind: 'none' },
    readings: 'at-once',
    positionAs: 'component-and-extension',
    snomed: false,
    decimals: 1,
    attention: 'at-once',
    findings: {},
    thresholdSets: [],
  }
})
afterAll(() => clinic.close())

describe.each(samplePeople())('what is made of $subject', (person) => {
  it('is taken by the clinic: sessions, then the average with all its readings already there', async () => {
    const sittings = sittingsOf(person)
    for (const { session, findings } of sittings) {
      const context = { ...contextOf(person), sessionUuid: sessionUuid(source, session.id) }
      const bundle = sessionBundle(session, findings, context, stored)
      // The monitor is the same in every sitting, so it is there already from the second on.
      expect(await post(bundle)).toMatchObject({ kind: 'accepted' })
    }
    expect(await post(averageOf(person))).toMatchObject({ kind: 'accepted', created: 2 })

    const held = await clinic.counts()
    expect(await post(averageOf(person))).toMatchObject({ kind: 'accepted', created: 0 })
    expect(await clinic.counts()).toEqual(held)
  })

  it('can be found there by the patient, with links that lead somewhere', async () => {
    const average = await only(`Observation?code=http://loinc.org|96607-7&subject=${await patientOf(person)}`)
    expect(average.derivedFrom?.length).toBeGreaterThan(0)
    for (const { reference } of average.derivedFrom ?? []) {
      expect((await ask<{ resourceType: string }>(reference)).resourceType).toBe('Observation')
    }
  })
})

const post = (bundle: object) => servers.postTransaction(destination, JSON.stringify(bundle))

async function ask<T>(path: string): Promise<T> {
  return (await fetch(`${clinic.baseUrl}/${path}`)).json() as Promise<T>
}

interface Found {
  readonly id: string
  readonly derivedFrom?: readonly { readonly reference: string }[]
}

async function only(search: string): Promise<Found> {
  const { entry = [] } = await ask<{ entry?: readonly { readonly resource: Found }[] }>(search)
  const [first] = entry
  if (first === undefined || entry.length > 1) throw new Error(`${entry.length} resources for ${search}`)
  return first.resource
}

async function patientOf({ patient }: Person): Promise<string> {
  return `Patient/${(await only(`Patient?identifier=${patient.system}|${patient.value}`)).id}`
}

function sittingsOf(person: Person) {
  return sampleSessions(person).map((record) => {
    const read = readSession(record, {})
    if (!read.ok) throw new Error(`a record of ${person.subject} is refused`)
    const { session } = read.value
    return { session, findings: checkSession(session, person, Date.parse(stored.receivedAt)), stored }
  })
}

function contextOf({ patient }: Person) {
  const identifier = `${encodeURIComponent(patient.system)}|${encodeURIComponent(patient.value)}`
  return {
    source,
    canonicalBase: 'https://gateway.example/fhir',
    subject: { reference: `Patient?identifier=${identifier}`, type: 'Patient' },
    positionAs: destination.positionAs,
    snomed: false,
  }
}

function averageOf(person: Person) {
  const { subject, zone, firstDay, days, arm } = person
  const file = new URL(`../../profiles/protocols/${person.protocol}.json`, import.meta.url)
  const protocol = readProtocol(JSON.parse(readFileSync(file, 'utf8')))
  if (!protocol.ok) throw new Error(`${person.protocol} is refused`)
  const plan = { protocol: protocol.value, zone, firstDay, lastDay: addDays(firstDay, days - 1) }
  const sittings = sittingsOf(person)
  const average = averagePeriod(arm === undefined ? plan : { ...plan, arm }, sittings, [])
  return averageBundle(average, sittings, {
    ...contextOf(person),
    period: periodUuid(source, subject, person.protocol, firstDay),
    issued: stored.receivedAt,
    narrative: averageNarrative(averageSummary(average, 1)),
    decimals: 1,
  })
}
