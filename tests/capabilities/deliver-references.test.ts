/** Servers that resolve the conditional reference to a patient in name only put readings into another person's record. */
import { afterEach, expect, it } from 'vitest'
import { resumeRoute } from '../../src/flow/operate/resume-route.ts'
import { retryDeliveries } from '../../src/flow/operate/retry-deliveries.ts'
import { toldDestinations } from '../../src/flow/operate/told-destination.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { type Fault, fault } from '../support/hostile-clinic/fault.ts'
import { DIED, mortalStore } from '../support/mortal-store.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import {
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'
import { versionsAtClinic } from '../support/versions-at-clinic.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const FIRST = { conditionalReference: 'first-of-type' } as const
const AS_WRITTEN = { conditionalReference: 'kept' } as const

/** The server holds P-HW-1 before P-HW-2, so what it takes for the second may be the first. */
async function start(behaviour: Partial<ClinicBehaviour>, options: QueueOptions = {}): Promise<void> {
  at = await openDelivery({ played: { behaviour }, ...options })
}

const versionsOf = (id: string) => versionsAtClinic(at.clinic.server, id)

const rows = () => at.flows.ports.store.auditPage({ limit: 200 })
const problems = async () =>
  (await rows()).flatMap(({ action, detail }) =>
    action === 'route-chosen' && detail.problem !== undefined ? [detail] : [],
  )
const stateAndProblem = async () =>
  (await at.entries()).map(({ state, lastProblem }) => [state, lastProblem].filter(Boolean).join(' '))

it.each([
  ['the first that it holds', FIRST, 'P-HW-1 final'],
  ['nobody, for it keeps the reference as it is written', AS_WRITTEN, 'Patient? final'],
])(
  'a server that takes for the patient %s is noticed by the first reading, which is brought over',
  async (_, behaviour, before) => {
    await start(behaviour)
    await queueSessions(at, 'HW-2', ['s-1', 's-2'])
    await queueSessions(at, 'HW-3', ['s-3'])
    expect(await at.deliver()).toMatchObject({ settled: 3 })
    expect(versionsOf('s-1')).toEqual([[before, 'P-HW-2 final']])
    expect(versionsOf('s-2')).toEqual([['P-HW-2 final']])
    expect(versionsOf('s-3')).toEqual([['P-HW-3 final']])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  },
)

it('tells of it: in the audit trail with what stood in the wrong record, in the log, and where the way is told', async () => {
  await start(FIRST)
  await queueSessions(at, 'HW-2', ['s-1'])
  await at.deliver()
  const [[{ resource } = {}] = []] = at.clinic.server.holding(readingOf('s-1', 1))
  expect(await problems()).toEqual([
    {
      rung: 'transaction',
      before: 'transaction',
      problem: 'CLINIC_MISPLACES_PATIENT',
      misplaced: `Observation/${resource?.id}`,
    },
  ])
  expect(at.flows.log.lines).toContainEqual(
    expect.objectContaining({
      level: 'error',
      event: 'references-passed-over',
    }),
  )
  const [told] = await toldDestinations(at.flows.ports)
  expect(told?.route?.because.at(-1)).toContain('The patient is searched for first')
})

it.each([
  ['whatever it is asked for', { ...FIRST, searchFilter: 'ignored' }, 'PATIENT_NOT_MATCHED'],
  [
    'whoever has the value in another system',
    { conditionalReference: 'by-value-alone', searchFilter: 'by-value-alone' },
    'PATIENT_NOT_MATCHED',
  ],
] as const)(
  'a server whose search finds %s is written nothing by such a reference',
  async (_, behaviour, problem) => {
    await start(behaviour, { played: { patients: [], behaviour } })
    at.clinic.server.register({ system: 'https://other.example/mrn', value: 'P-HW-1' })
    await queueSessions(at, 'HW-1', ['s-1'])
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await stateAndProblem()).toEqual([`parked ${problem}`])
    expect(at.clinic.server.kept.all('Observation')).toEqual([])
    expect(await problems()).toEqual([
      { rung: 'transaction', before: 'transaction', problem: 'CLINIC_MISPLACES_PATIENT' },
    ])
  },
)

it('what cannot be brought over is taken back, and brought over once the patient can be found', async () => {
  await start({ ...FIRST, ofType: { Patient: { search: 'off' } } })
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ parked: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-1 entered-in-error']])
  at.clinic.server.behave({ ofType: {} })
  await at.flows.enrol('HW-2', { patient: { system: MRN, value: 'P-HW-2' } })
  await retryDeliveries({ state: 'parked' }, 'operator', at.flows.ports)
  expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-1 entered-in-error', 'P-HW-2 final']])
})

it('where the server takes no update, nothing is settled, and a person is told', async () => {
  await start({ ...FIRST, update: false, updateCreate: false })
  await queueSessions(at, 'HW-2', ['s-1', 's-2'])
  expect(await at.deliver()).toMatchObject({ settled: 0, parked: 1 })
  expect(await stateAndProblem()).toEqual(['parked CLINIC_CANNOT_UPDATE', 'waiting'])
})

it('an answer that was lost hides nothing: what went unheard is read by the next attempt', async () => {
  await start(FIRST)
  at.clinic.server.faults.next([fault.dropAfter], ['transaction'])
  await queueSessions(at, 'HW-2', ['s-1'])
  await at.deliver()
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final']])
  for (let round = 0; round < 3; round += 1) await at.deliverLater()
  expect(await at.entries()).toMatchObject([{ state: 'settled' }])
  expect(versionsOf('s-1').flat().at(-1)).toBe('P-HW-2 final')
})

it.each([
  ['the server is too busy to show it', [fault.status(429)]],
  ['the connection is lost', [fault.dropBefore]],
])('what was written is looked at again where %s', async (_, faults) => {
  await start(FIRST)
  at.clinic.server.faults.next(faults, ({ kind, path }) => kind === 'read' && path.startsWith('Observation/'))
  await queueSessions(at, 'HW-2', ['s-1'])
  expect(await at.deliver()).toMatchObject({ waiting: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final']])
  expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
})

it('nothing is hidden by a process that dies once it heard the answer, and kept what it learnt', async () => {
  const mortal = mortalStore()
  await start(FIRST, { around: mortal.around, delivery: { leaseMs: 60_000, timeoutMs: 1000 } })
  await queueSessions(at, 'HW-2', ['s-1'])
  at.clinic.meanwhile(({ path }) => path.startsWith('Observation/'), mortal.die)
  await expect(at.deliver()).rejects.toThrow(DIED)
  mortal.beginAgain()
  expect(await at.deliverLater()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-1')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
})

it('many that set out at once are not sent by a reference before one of them has shown what it leads to', async () => {
  const subjects = ['HW-2', 'HW-3', 'HW-4', 'HW-5', 'HW-6']
  await start(FIRST, {
    played: { behaviour: FIRST, patients: ['P-HW-1', ...subjects.map((one) => `P-${one}`)] },
  })
  for (const subject of subjects) await queueSessions(at, subject, [`of-${subject}`])
  expect(await at.deliver()).toMatchObject({ settled: subjects.length })
  const wrong = at.clinic.server.ledger.aboutPatient('P-HW-1').filter(({ type }) => type === 'Observation')
  expect(wrong).toHaveLength(2)
  for (const subject of subjects) expect(versionsOf(`of-${subject}`).flat().at(-1)).toBe(`P-${subject} final`)
})

it('a server that resolves it is asked for two patients, and never again', async () => {
  await start({})
  await queueSessions(at, 'HW-2', ['s-1', 's-2'])
  await at.deliver()
  await queueSessions(at, 'HW-3', ['s-3'])
  await queueSessions(at, 'HW-1', ['s-4'])
  await at.deliver()
  expect(at.clinic.server.seen('search')).toHaveLength(2)
  expect(at.clinic.server.seen('read')).toHaveLength(4)
})

it('that the first patient is the one whom a server takes for everybody proves nothing of others', async () => {
  await start(FIRST)
  await queueSessions(at, 'HW-1', ['s-1', 's-2'])
  await at.deliver()
  expect(await problems()).toEqual([])
  await queueSessions(at, 'HW-2', ['s-3'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('s-3')).toEqual([['P-HW-1 final', 'P-HW-2 final']])
  expect(await problems()).toMatchObject([{ problem: 'CLINIC_MISPLACES_PATIENT' }])
})

it('what was sent with the patient named outright, after a failure, proves nothing of the reference', async () => {
  await start(FIRST)
  const noPatient = fault.status(412, { code: 'not-found', diagnostics: 'Patient?' })
  for (const subject of ['HW-1', 'HW-2']) {
    at.clinic.server.faults.next([noPatient], ({ body }) => body.includes('Patient?'))
    await queueSessions(at, subject, [`of-${subject}`])
    expect(await at.deliver()).toMatchObject({ settled: 1 })
  }
  expect((await at.flows.ports.store.route(DESTINATION))?.references).toBeUndefined()
  await queueSessions(at, 'HW-3', ['of-HW-3'])
  expect(await at.deliver()).toMatchObject({ settled: 1 })
  expect(versionsOf('of-HW-3')).toEqual([['P-HW-1 final', 'P-HW-3 final']])
})

it.each([
  ['forbidden', fault.status(403)],
  ['of somebody without an identifier', answering({ resourceType: 'Patient' })],
  ['of somebody else', answering({ resourceType: 'Patient', identifier: [{ value: 'P-9' }] })],
])('one odd answer about the record decides nothing: %s', async (_, odd) => {
  for (const behaviour of [FIRST, {}]) {
    await start(behaviour)
    at.clinic.server.faults.next(
      [odd],
      ({ path }) => path.startsWith('Patient/') && path !== 'Patient/_search',
    )
    await queueSessions(at, 'HW-2', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    const isMisled = behaviour === FIRST
    expect(versionsOf('s-1').flat()).toEqual([...(isMisled ? ['P-HW-1 final'] : []), 'P-HW-2 final'])
    expect((await problems()).length).toBe(isMisled ? 1 : 0)
    if (isMisled) await at.flows.close()
  }
})

/** An answer to a read that does not come from where the resource is kept. */
function answering(resource: object): Fault {
  const headers = { 'content-type': 'application/fhir+json' }
  return {
    name: 'another resource',
    does: 'never',
    says: () => ({ status: 200, headers, body: JSON.stringify(resource) }),
  }
}

it('one that shows neither what it holds nor its patients is believed', async () => {
  const hidden = {
    ofType: { Patient: { read: false, search: 'off' }, Observation: { read: false } },
  } as const
  await start(hidden, { destination: { rung: 'transaction' } })
  await queueSessions(at, 'HW-2', ['s-1', 's-2'])
  expect(await at.deliver()).toMatchObject({ settled: 2 })
  expect((await at.flows.ports.store.route(DESTINATION))?.references).toEqual({ seen: 'untold', looks: 2 })
  await queueSessions(at, 'HW-3', ['s-3', 's-4'])
  expect(await at.deliverLater()).toMatchObject({ settled: 2 })
  expect((await at.flows.ports.store.route(DESTINATION))?.references).toEqual({ seen: 'untold', looks: 3 })
})

it.each([
  ['and says that it is another', 'other'],
  ['without a word of what it is', undefined],
] as const)(
  'a server that was mended is tried again by the reference, once its operator resumes it %s',
  async (_, which) => {
    await start(FIRST)
    await queueSessions(at, 'HW-2', ['s-1'])
    await at.deliver()
    at.clinic.server.behave({ conditionalReference: 'resolved' })
    expect(await resumeRoute(DESTINATION, 'operator', at.flows.ports, which)).toBe(true)
    await queueSessions(at, 'HW-3', ['s-3'])
    const before = at.clinic.posted.length
    await at.deliverLater()
    const posted = at.clinic.posted.slice(before).filter(({ text }) => text.includes('"Observation"'))
    expect(posted.map(({ text }) => text.includes('"Patient?identifier='))).toEqual([true])
    expect((await at.flows.ports.store.route(DESTINATION))?.references).toMatchObject({ seen: 'resolved' })
  },
)

it('what shows that conditions are passed over stands in no other record, while nobody saw where a reference leads', async () => {
  await start({}, { destination: { readings: 'with-average' } })
  const { store } = at.flows.ports
  const { device: _, ...alone } = sitting('s-1', 'HW-2')
  await at.flows.enrol('HW-2')
  await at.flows.receive([alone])
  const averaged = async (protocol: string) => {
    await at.flows.openPeriod('HW-2', '2026-03-02', 7, protocol)
    at.later()
    await closeDuePeriods(at.flows.ports)
    await at.deliver()
  }
  await averaged('nice-ng136-home')
  // As a release before this one left it: nothing is known but what is held.
  const route = await store.route(DESTINATION)
  if (route === undefined) throw new Error('nothing was delivered')
  const { conditions: _c, references: _r, ...known } = route
  await store.saveRoute(known)
  at.clinic.server.behave({ ...FIRST, conditionInTransaction: 'ignored' })
  await averaged('aha-2019-home')
  expect(versionsOf('s-1')).toEqual([['P-HW-2 final'], ['P-HW-2 final']])
})
