/** What becomes of the proof of a reference to a patient where a server shows what it made of it late, oddly or not at all. */
import { afterEach, expect, it } from 'vitest'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import type { ClinicRequest } from '../support/hostile-clinic/clinic-request.ts'
import type { ClinicResource } from '../support/hostile-clinic/clinic-resource.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
} from '../support/queued-delivery.ts'
import { versionsAtClinic } from '../support/versions-at-clinic.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

async function start(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour }, ...options })
}

const versionsOf = (id: string) => versionsAtClinic(at.clinic.server, id)
const seenOfReferences = async () => (await at.flows.ports.store.route(DESTINATION))?.references?.seen

const FIRST = { conditionalReference: 'first-of-type' } as const
const UNNAMED = { location: 'missing', etag: false, writtenBody: 'never' } as const

const isReadingRead = ({ kind, path }: ClinicRequest) => kind === 'read' && path.startsWith('Observation/')
const isPatientRead = ({ kind, path }: ClinicRequest) => kind === 'read' && path.startsWith('Patient/')
const isPatientSearch = ({ kind, path }: ClinicRequest) => kind === 'search' && path.startsWith('Patient')

it.each([
  ['with an OperationOutcome alone', fault.retold(() => ({ resourceType: 'OperationOutcome', issue: [] }))],
  ['with a page', fault.page(200)],
  ['with a redirect', fault.status(301)],
  ['with a failure', fault.status(500)],
  ['that it forbids it', fault.status(403)],
])('a server that answers every search for a patient %s gets what it is sent', async (_, answer) => {
  await start({})
  at.clinic.server.faults.every(1, answer, isPatientSearch)
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-2 final']])
  expect(await seenOfReferences()).toBe('resolved')
})

it.each([
  ['answers 404 for a while to who reads what it made', {}],
  ['does not name what it made', UNNAMED],
  ['does not name what it made, and finds it later', { ...UNNAMED, searchLagMs: 60_000 }],
] as const)('a server that misleads is noticed, too, where it %s', async (_, behaviour) => {
  await start({ ...FIRST, ...behaviour })
  at.clinic.server.faults.next([fault.status(404, { code: 'not-found' })], isReadingRead)
  await queueSessions(at, 'HW-2', ['s-1'])
  await at.deliver()
  await at.deliverLater()
  at.clinic.server.behave({ searchLagMs: 0 })
  await at.deliverLater()
  expect(await at.entries()).toMatchObject([{ state: 'settled' }])
  expect(versionsOf('s-1').flat().at(-1)).toBe('P-HW-2 final')
  expect(await seenOfReferences()).toBe('passed-over')
})

it('what cannot be brought over is taken back, too, where the server did not say where it is', async () => {
  await start({ ...FIRST, ...UNNAMED, ofType: { Patient: { search: 'off' } } })
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-1 entered-in-error']])
})

it('one that never shows what it made is waited for, and then believed', async () => {
  const behaviour = { ofType: { Observation: { search: 'off' } } } as const
  await start(behaviour, { destination: { rung: 'transaction' } })
  at.clinic.server.faults.every(1, fault.status(404, { code: 'not-found' }), isReadingRead)
  await queueSessions(at, 'HW-2', ['s-1', 's-2'])
  await at.deliver()
  expect(await at.entries()).toMatchObject([{ lastProblem: 'CLINIC_NOT_SHOWN' }, { state: 'waiting' }])
  await at.deliverLater()
  expect(await at.entries()).toMatchObject([{ state: 'settled' }, { state: 'settled' }])
  expect(await seenOfReferences()).toBe('untold')
})

it('who has the same value in another system is another, whom a search for the patient does not find', async () => {
  const behaviour = { conditionalReference: 'by-value-alone' } as const
  await start(behaviour, { played: { patients: [], behaviour } })
  at.clinic.server.register({ system: 'https://other.example/mrn', value: 'P-HW-1' })
  await queueSessions(at, 'HW-1', ['s-1'])
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-1 entered-in-error']])
  expect(await seenOfReferences()).toBe('passed-over')
})

type Identifier = Readonly<Record<string, unknown>>
const identifiedBy = (change: (one: Identifier) => Identifier) => (patient: ClinicResource) => ({
  ...patient,
  identifier: (patient.identifier as readonly Identifier[]).map(change),
})

it.each([
  ['in small letters', identifiedBy((one) => ({ ...one, value: String(one.value).toLowerCase() }))],
  ['masked', identifiedBy((one) => ({ ...one, value: '***' }))],
  ['in another system', identifiedBy((one) => ({ ...one, system: `${MRN}/` }))],
  ['not at all', ({ identifier: _, ...patient }: ClinicResource) => patient],
] as const)(
  'a server that shows the identifier of a patient %s is believed by its search',
  async (_, tell) => {
    await start({})
    at.clinic.server.faults.every(1, fault.retold(tell), isPatientRead)
    await queueSessions(at, 'HW-2', ['s-1'])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(versionsOf('s-1')).toEqual([['P-HW-2 final']])
    expect(await seenOfReferences()).toBe('resolved')
  },
)

it('a record into which the patient’s was merged is theirs, where the server leads there', async () => {
  await start({})
  const [, theirs] = at.clinic.server.kept.all('Patient')
  const merged = { type: 'replaced-by', other: { reference: `Patient/${theirs?.id}` } }
  const { faults } = at.clinic.server
  faults.every(1, fault.retold(identifiedBy((one) => ({ ...one, value: 'N-7' }))), isPatientRead)
  faults.every(
    1,
    fault.retold((found) => ({
      ...found,
      entry: ((found.entry ?? []) as readonly { readonly resource: object }[]).map(({ resource }) => ({
        resource: { ...resource, id: 'before', link: [merged] },
      })),
    })),
    isPatientSearch,
  )
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-2 final']])
  expect(await seenOfReferences()).toBe('resolved')
})

it('what differs by case alone is told by nothing where nobody may search, and believed', async () => {
  await start({ ofType: { Patient: { search: 'off' } } })
  const small = identifiedBy((one) => ({ ...one, value: ` ${String(one.value).toLowerCase()}` }))
  at.clinic.server.faults.every(1, fault.retold(small), isPatientRead)
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-2 final']])
  expect(await seenOfReferences()).toBe('untold')
})

it('one that lets nobody read its patients is held to what a search for them finds', async () => {
  await start({ ...FIRST, ofType: { Patient: { read: false } } })
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
})
