/** A subject that was linked to the wrong patient of a clinic: what that record holds of it is brought to the right one. */
import { afterEach, describe, expect, it } from 'vitest'
import { readingUuid, sessionUuid } from '../../src/core/fhir/identifiers.ts'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import { receiveSessions } from '../../src/flow/receive/receive-sessions.ts'
import { registerSource } from '../../src/flow/register/register-source.ts'
import { createMessageReceivers } from '../../src/shell/hl7v2/message-receivers.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION, SOURCE } from '../support/open-flows.ts'
import { MRN } from '../support/played-clinic.ts'
import { answering, playReceiver } from '../support/played-receiver.ts'
import {
  NOTHING,
  openDelivery,
  type QueuedDelivery,
  type QueueOptions,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'
import { recordedLog } from '../support/recorded-log.ts'

const LATER = 'later-clinic'
const RIGHT = { system: MRN, value: 'Q-1' }

let at: QueuedDelivery
const opened: (() => unknown)[] = []
afterEach(async () => {
  for (const close of opened.splice(0)) await close()
  await at.flows.close()
})

async function start({ played, ...options }: QueueOptions = {}): Promise<void> {
  at = await openDelivery({
    played: { patients: ['P-HW-1', 'Q-1', 'R-1'], ...played },
    others: [{ name: LATER, baseUrl: 'https://later.example/fhir' }],
    ...options,
  })
}

const relink = (patient = RIGHT) => at.flows.enrol('HW-1', { patient })

async function close(): Promise<void> {
  at.later()
  await closeDuePeriods(at.flows.ports)
}

/** Values of the patients that the clinic's Observations and Provenances name. */
function named(): readonly string[] {
  const { kept } = at.clinic.server
  const values = new Map(
    kept.all('Patient').map(({ id, identifier }) => [`Patient/${id}`, Object(identifier)[0].value]),
  )
  const resources = [...kept.all('Observation'), ...kept.all('Provenance')].map((one) => JSON.stringify(one))
  const found = resources.flatMap((text) => text.match(/Patient\/[^"/]+/g) ?? [])
  return [...new Set(found)].map((reference) => values.get(reference) ?? reference)
}

const audited = async () =>
  (await at.flows.ports.store.auditPage({ limit: 500 })).filter(({ action }) => action === 'enrolment-saved')

const moves = async () => (await at.entries()).filter(({ movedFrom }) => movedFrom !== undefined)

/** A session that asks for attention, and another; the average of both. */
async function allDelivered(): Promise<void> {
  await queueSessions(at, 'HW-1', ['s-2'])
  await at.flows.receive([sitting('s-1', 'HW-1', 201)])
  await at.flows.openPeriod('HW-1', '2026-03-01', 7)
  await close()
  expect(await at.deliver()).toMatchObject({ waiting: 0, parked: 0, givenUp: 0 })
  expect(named()).toEqual(['P-HW-1'])
}

describe('a subject that is linked to another patient of the same clinic', () => {
  it.each([
    ['transaction', {}],
    ['conditional-create', { transaction: 'off' }],
    ['own-id', { transaction: 'off', conditionalCreate: false }],
    ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
    ['create-only', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
  ] as const)('has its sessions, call and average brought to that one: %s', async (rung, behaviour) => {
    await start({ played: { behaviour }, destination: { attention: 'at-once', rung } })
    await allDelivered()
    const resources = at.clinic.server.kept.all('Observation').length
    await relink()
    expect((await moves()).map(({ kind, urgent }) => [kind, urgent])).toEqual([
      ['session', false],
      ['session', false],
      ['attention', true],
      ['average', false],
    ])
    expect(await at.deliver()).toMatchObject({ settled: 4, created: 0, waiting: 0, parked: 0, givenUp: 0 })
    expect(named()).toEqual(['Q-1'])
    expect(at.clinic.server.kept.all('Observation')).toHaveLength(resources)
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  })

  it('has how many deliveries that are said in the log and in the audit trail, and nothing of the patients', async () => {
    await start()
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await relink()
    expect(at.flows.log.lines).toContainEqual({
      level: 'warn',
      event: 'enrolment-relinked',
      fields: { source: SOURCE, destination: DESTINATION, moving: 2 },
    })
    expect((await audited()).map(({ detail }) => detail)).toEqual([
      { destination: DESTINATION },
      { destination: DESTINATION, moving: 2 },
    ])
    await relink()
    expect(await moves()).toHaveLength(2)
  })

  it('has what comes afterwards given to that one, and the average derive from its own readings', async () => {
    await start()
    await queueSessions(at)
    await at.deliver()
    await relink()
    await at.flows.openPeriod('HW-1', '2026-03-01', 7)
    await close()
    expect(await at.deliver()).toMatchObject({ settled: 2, givenUp: 0 })
    expect(named()).toEqual(['Q-1'])
  })

  it('has nothing moved that was only queued, or not taken for want of the patient', async () => {
    await start({ played: { patients: ['Q-1'] } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    await relink()
    expect(await moves()).toEqual([])
    expect(await at.deliver()).toMatchObject({ settled: 2, updated: 0 })
    expect(named()).toEqual(['Q-1'])
  })

  it('has moved what went unheard', async () => {
    await start()
    await queueSessions(at)
    at.clinic.server.faults.next([fault.dropAfter], ({ kind }) => kind === 'transaction')
    expect(await at.deliver()).toMatchObject({ waiting: 1 })
    await relink()
    expect(await moves()).toHaveLength(1)
    await at.deliverLater()
    await at.deliverLater()
    expect(named()).toEqual(['Q-1'])
  })

  it('has nothing sent where it is linked back before anything was moved', async () => {
    await start()
    await queueSessions(at)
    await at.deliver()
    await relink()
    await at.flows.enrol('HW-1')
    const [, back] = await moves()
    expect(back?.movedFrom).toEqual(RIGHT)
    await at.deliver()
    expect(named()).toEqual(['P-HW-1'])
    await relink({ ...RIGHT, value: 'R-1' })
    await at.deliver()
    expect(named()).toEqual(['R-1'])
  })

  it('has it moved too where it was linked elsewhere in between, and the average told elsewhere by its last link', async () => {
    await start()
    await allDelivered()
    await at.flows.enrol('HW-1', { patient: { ...RIGHT, value: 'R-1' }, destination: LATER })
    await relink()
    expect(await moves()).toHaveLength(4)
    await at.flows.enrol('HW-1', { patient: { ...RIGHT, value: 'R-1' }, destination: LATER })
    const posted = at.clinic.posted.length
    await at.deliver()
    expect(at.clinic.posted.slice(posted).map(({ text }) => text.includes('P-HW-1'))).not.toContain(true)
  })

  it('has readings moved that came with the average of another source of the patient before', async () => {
    await start({ destination: { readings: 'with-average' } })
    const monitor = 'harbour-monitor'
    await registerSource({ name: monitor, title: 'Harbour monitor' }, 'operator', at.flows.ports)
    const wrong = { system: MRN, value: 'P-HW-1' }
    await at.flows.enrol('HW-1')
    await at.flows.enrol('M-1', { source: monitor, patient: wrong })
    await at.flows.openPeriod('HW-1', '2026-03-01', 7)
    await at.flows.receive([sitting('s-1')])
    const record = { text: JSON.stringify(sitting('m-1', 'M-1', 151)) }
    await receiveSessions([record], { source: monitor }, at.flows.ports)
    await close()
    await at.deliver()
    const ofMonitor = readingUuid(sessionUuid(monitor, 'm-1'), 1)
    const patientsOf = (uuid: string) =>
      at.clinic.server.holding(uuid)[0]?.map(({ resource }) => Object(resource?.subject).reference)
    expect(patientsOf(ofMonitor)).toHaveLength(1)
    await at.flows.enrol('M-1', { source: monitor, patient: RIGHT })
    await at.deliver()
    expect(new Set(patientsOf(ofMonitor)).size).toBe(2)
    expect(patientsOf(readingOf('s-1', 1))).toHaveLength(1)
    expect(named().toSorted()).toEqual(['P-HW-1', 'Q-1'])
  })
})

describe('a clinic that takes no updates', () => {
  it.each(['park', 'send-as-new'] as const)(
    'has it left to a person, whatever it wants amended readings to be: %s',
    async (cannotUpdate) => {
      await start({ played: { behaviour: { update: false } }, destination: { cannotUpdate } })
      await queueSessions(at)
      await at.deliver()
      await relink()
      expect(await at.deliver()).toMatchObject({ parked: 1 })
      expect((await at.entries()).at(-1)).toMatchObject({ lastProblem: 'CLINIC_CANNOT_UPDATE' })
      expect(named()).toEqual(['P-HW-1'])
    },
  )
})

describe('an HL7 v2 receiver', () => {
  it('is told that the results were another patient’s, and then whose they are', async () => {
    const receiver = await playReceiver([answering('AA')])
    const receivers = createMessageReceivers({ clock: { now: () => Date.now() }, log: recordedLog() })
    opened.push(receivers.close, receiver.close)
    const { port } = receiver
    const application = { application: 'EHR', facility: 'CLINIC' }
    const destination = { kind: 'hl7v2', host: '127.0.0.1', port, authority: 'CLINIC', receiver: application }
    await start({ destination, receivers })
    await queueSessions(at)
    await at.deliver()
    await relink()
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    const told = receiver.messages.map((message) => {
      const rows = message.split('\r').map((segment) => segment.split('|'))
      const field = (name: string, index: number) => rows.find(([row]) => row === name)?.[index]
      const statuses = new Set(rows.flatMap((row) => (row[0] === 'OBX' ? [row[11]] : [])))
      return [field('PID', 3)?.split('^')[0], ...statuses, field('OBR', 3), field('MSH', 9)] as const
    })
    expect(told.map(([patient, status]) => [patient, status])).toEqual([
      ['P-HW-1', 'F'],
      ['P-HW-1', 'W'],
      ['Q-1', 'F'],
    ])
    expect(new Set(told.map(([, , number]) => number)).size).toBe(1)
    const controlIds = receiver.messages.map((message) => message.split('\r')[0]?.split('|')[9])
    expect(new Set(controlIds).size).toBe(3)
    expect(await at.deliver()).toEqual(NOTHING)
  })
})
