/** Everything the gateway makes of the sample people is taken by a FHIR server that nobody here wrote, once. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type Person, samplePeople } from '../../samples/generator/people.ts'
import { sampleSessions } from '../../samples/generator/sample-sessions.ts'
import { addDays } from '../../src/core/basics/local-day.ts'
import { DEFAULT_ATTENTION_LIMITS } from '../../src/core/clinical/attention/attention-limits.ts'
import { periodNarrative } from '../../src/core/clinical/report/period-narrative.ts'
import { periodSummary } from '../../src/core/clinical/report/period-summary.ts'
import { reportPeriod } from '../../src/core/clinical/report/report-period.ts'
import { averageBundle } from '../../src/core/fhir/average/average-bundle.ts'
import { periodUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { sessionBundle } from '../../src/core/fhir/session/session-bundle.ts'
import { readSession } from '../../src/core/record/read-session.ts'
import type { FhirDestination } from '../../src/core/registry/destination.ts'
import { checkSession } from '../../src/flow/check/check-session.ts'
import type { ClinicServers } from '../../src/flow/ports/ports.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { createClinicServers } from '../../src/shell/fhir-server/clinic-servers.ts'
import { exampleDestination, postToClinic } from '../support/post-to-clinic.ts'
import { recordedLog } from '../support/recorded-log.ts'
import { shippedProtocol, shippedThresholdSets } from '../support/shipped-profiles.ts'

const source = 'harbour-app'
const stored = {
  sha256: '0'.repeat(64),
  receivedAt: '2026-04-01T00:00:00Z',
  version: 1,
  withdrawn: false,
  earlier: [],
}

let clinic: ClinicServer
let servers: ClinicServers
let destination: FhirDestination

beforeAll(async () => {
  const patients = samplePeople().map(({ patient, name }) => ({ identifier: patient, name }))
  clinic = await startClinicServer({ patients })
  servers = createClinicServers({ clock: { now: Date.now }, log: recordedLog(), newRequestId: () => 'r' })
  destination = exampleDestination({ name: 'lantern-bay', baseUrl: clinic.baseUrl })
})
afterAll(() => clinic.close())

describe.each(samplePeople())('what is made of $subject', (person) => {
  it('is taken by the clinic: sessions, then the average with all its readings already there', async () => {
    const sittings = sittingsOf(person)
    for (const { session, findings } of sittings) {
      const context = { ...contextOf(person), sessionUuid: sessionUuid(source, session.id) }
      const bundle = sessionBundle(session, findings, context, stored)
      // The monitor is the same in every sitting, so it is there already from the second on.
      expect(await post(bundle)).toMatchObject({ kind: 'done' })
    }
    expect(await post(averageOf(person))).toMatchObject({ kind: 'done', created: 2 })

    const held = await clinic.counts()
    expect(await post(averageOf(person))).toMatchObject({ kind: 'done', created: 0 })
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

const post = (bundle: { readonly entry?: readonly unknown[] | undefined }) =>
  postToClinic(servers, destination, bundle)

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
    const receivedMs = Date.parse(stored.receivedAt)
    const findings = checkSession(session, person, receivedMs, DEFAULT_ATTENTION_LIMITS)
    return { session, findings, stored }
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
  const protocol = shippedProtocol(person.protocol)
  const plan = { protocol, zone, firstDay, lastDay: addDays(firstDay, days - 1) }
  const sittings = sittingsOf(person)
  const report = reportPeriod(
    arm === undefined ? plan : { ...plan, arm },
    sittings,
    shippedThresholdSets(),
    DEFAULT_ATTENTION_LIMITS,
  )
  return averageBundle(report, sittings, {
    ...contextOf(person),
    period: periodUuid(source, subject, person.protocol, firstDay),
    revision: 1,
    issued: stored.receivedAt,
    narrative: periodNarrative(periodSummary(report, 1)),
    decimals: 1,
  })
}
