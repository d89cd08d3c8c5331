/** The judge of the chaos run must see what is wrong: each fault here is put into a record that is right. */
import { beforeEach, describe, expect, it } from 'vitest'
import { averageUuid, provenanceUuid, readingUuid } from '../../src/core/fhir/identifiers.ts'
import type { ClinicResource } from '../support/hostile-clinic/clinic-resource.ts'
import { HostileClinic } from '../support/hostile-clinic/hostile-clinic.ts'
import type { ActedPerson } from './act-as-person.ts'
import { personFaults, recordFaults, type ToldDelivery } from './chaos-verdict.ts'

const PERIOD = '6d7a1c2e-0000-4000-8000-000000000001'
const SESSION = '6d7a1c2e-0000-4000-8000-000000000002'
const takenAt = '2025-03-03T06:40:00+00:00'

const person: ActedPerson = {
  planned: {
    subject: 'C-1',
    patient: { system: 'https://clinic.example/mrn', value: 'P-1' },
    destination: 'north-clinic',
    sessions: [],
    changes: [],
  },
  period: PERIOD,
  sessions: new Map([
    [
      's',
      {
        uuid: SESSION,
        session: { id: 's', takenAt, readings: [{ takenAt, systolic: 131, diastolic: 81 }] },
        version: 1,
        withdrawn: false,
      },
    ],
  ]),
}

const deliveries: readonly ToldDelivery[] = [
  { id: 1, subject: 'C-1', kind: 'session', about: SESSION, state: 'settled', attempts: 1 },
  { id: 2, subject: 'C-1', kind: 'average', about: PERIOD, state: 'settled', attempts: 1 },
]

const reading = (systolic = 131, status = 'final') => observation(readingUuid(SESSION, 1), status, systolic)
const average = (systolic: number, status = 'final') => observation(averageUuid(PERIOD), status, systolic)

function observation(key: string, status: string, systolic: number): ClinicResource {
  return {
    resourceType: 'Observation',
    identifier: [{ system: 'urn:key', value: key }],
    status,
    subject: { reference: 'Patient?identifier=urn:mrn|P-1' },
    component: [{ valueQuantity: { value: systolic } }, { valueQuantity: { value: 81 } }],
  }
}

function trace(key: string): ClinicResource {
  return { resourceType: 'Provenance', meta: { tag: [{ system: 'urn:trace', code: key }] } }
}

/** A gateway that issued these averages, the first one first. */
function issuing(...averages: readonly ClinicResource[]) {
  return {
    async send(_method: string, path: string) {
      const [, revision] = /averages\/(\d+)\/bundle$/.exec(path) ?? []
      if (revision === undefined) return { items: averages.map((_, at) => ({ revision: at + 1 })) }
      return { entry: [{ resource: averages[Number(revision) - 1] }] }
    },
  }
}

const ISSUED = [average(130), average(132, 'amended')] as const

let clinic: HostileClinic
let patient: string
beforeEach(openClinic)

function openClinic(): void {
  clinic = new HostileClinic()
  patient = clinic.register({ system: 'urn:mrn', value: 'P-1' })
}

/** As a server holds them: each in the record that its reference asks for. */
function put(...resources: readonly ClinicResource[]): string {
  const held = resources.map((one) =>
    one.subject === undefined ? one : { ...one, subject: { reference: `Patient/${patient}` } },
  )
  return held.map((one) => clinic.putBehindBack(one)).at(-1) ?? ''
}

/** Everything as it must be; the average in the versions given. */
function putAll(...versions: readonly ClinicResource[]): void {
  put(reading(), trace(provenanceUuid(SESSION)))
  const [first, ...later] = versions
  if (first === undefined) return
  const id = put(first)
  for (const one of later) put({ ...one, id })
  put(trace(provenanceUuid(PERIOD)), trace(provenanceUuid(PERIOD, 2)))
}

const faults = async () => [
  ...(await personFaults(person, deliveries, clinic, issuing(...ISSUED))),
  ...recordFaults(clinic),
]

describe('a record', () => {
  it.each([
    ['another record', () => clinic.register({ system: 'urn:mrn', value: 'P-2' })],
    ['none, for its reference still asks', () => '?identifier=urn:mrn|P-1'],
  ])('shows a reading in %s', async (_, record) => {
    patient = record()
    putAll(...ISSUED)
    expect(await faults()).toContain('C-1: a reading stands in a record that is not the person’s')
  })

  it('that is right has no faults, with or without the version in between', async () => {
    putAll(...ISSUED)
    expect(await faults()).toEqual([])
    openClinic()
    putAll(ISSUED[1])
    expect(await faults()).toEqual([])
  })

  it.each<[string, () => void, string]>([
    ['without the average', () => putAll(), 'C-1: the average is not there (2 issued)'],
    [
      'with an average that is not the last one',
      () => putAll(ISSUED[0]),
      'C-1: the last version of the average is not the last issued: status, component',
    ],
    [
      'with versions in another order',
      () => putAll(ISSUED[1], ISSUED[0], ISSUED[1]),
      'C-1: its 3 versions are not among the 2 issued, in order',
    ],
    [
      'with the average twice',
      () => {
        putAll(...ISSUED)
        put(ISSUED[1])
      },
      'C-1: the average is there 2 times',
    ],
    [
      'with a reading twice',
      () => {
        putAll(...ISSUED)
        put(reading())
      },
      'C-1: a reading is there 2 times',
    ],
    [
      'with a reading of other numbers',
      () => {
        putAll(...ISSUED)
        put({ ...reading(130), id: String(clinic.holding(readingUuid(SESSION, 1))[0]?.[0]?.id) })
      },
      'C-1: a reading has not the values last told',
    ],
    [
      'with a reading of another status',
      () => {
        putAll(...ISSUED)
        put({ ...reading(131, 'amended'), id: String(clinic.holding(readingUuid(SESSION, 1))[0]?.[0]?.id) })
      },
      'C-1: a reading is amended, not final',
    ],
    [
      'with a Provenance twice',
      () => {
        putAll(...ISSUED)
        put(trace(provenanceUuid(PERIOD, 2)))
      },
      'C-1: the Provenance of the last revision is there 2 times',
    ],
    [
      'with the average before the readings that were queued first',
      () => {
        put(ISSUED[1], trace(provenanceUuid(PERIOD, 2)))
        put(reading(), trace(provenanceUuid(SESSION)))
      },
      'C-1: delivery 2 came before 1',
    ],
    [
      'with something that was made twice and deleted once',
      () => {
        putAll(...ISSUED)
        clinic.deleteBehindBack('Observation', put(reading()))
      },
      `created more than once: Observation ${readingUuid(SESSION, 1)}`,
    ],
    [
      'with something that nobody sent',
      () => {
        putAll(...ISSUED)
        put({ resourceType: 'Observation' })
      },
      '1 resources carry no key',
    ],
  ])('%s is told to be wrong', async (_, spoil, fault) => {
    spoil()
    expect(await faults()).toContain(fault)
  })
})
