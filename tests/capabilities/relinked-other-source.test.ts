/** Of two sources of one patient one is linked to another patient while the average of both is on its way. */
import { afterEach, expect, it } from 'vitest'
import { closeDuePeriods } from '../../src/flow/periods/close-due-periods.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery } from '../support/queued-delivery.ts'
import { rawRecord } from '../support/raw-record.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const RUNGS = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
] as const

const HAPPENINGS = [
  ['was not taken yet', fault.status(429, { retryAfter: '600' })],
  ['went unheard, and was taken', fault.dropAfter],
  [
    'was taken, though the clinic said not now',
    fault.status(503, { retryAfter: '600', doneAllTheSame: true }),
  ],
] as const

/** One reading in the morning of a day. */
function morning(subject: string, day: number, systolic: number) {
  const takenAt = `2026-03-0${day}T07:00:00-07:00`
  return rawRecord({
    id: `${subject}-${day}`,
    subject,
    takenAt,
    readings: [{ takenAt, systolic, diastolic: 80 }],
  })
}

async function close(): Promise<void> {
  at.later(14 * 86_400_000)
  await closeDuePeriods(at.flows.ports)
}

/** The average of one, with a reading of the other, is queued for a clinic that takes no readings by themselves. */
async function start(behaviour: Partial<ClinicBehaviour>): Promise<void> {
  at = await openDelivery({
    played: { behaviour, patients: ['P-HW-1', 'Q-1'] },
    destination: { readings: 'with-average' },
  })
  await at.flows.enrol('HW-1')
  await at.flows.enrol('HW-2', { patient: { system: MRN, value: 'P-HW-1' } })
  await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.flows.receive([2, 3, 4].map((day) => morning('HW-1', day, 141)))
  await at.flows.receive([morning('HW-2', 5, 151)])
  await close()
}

/** Systolic values of the readings that stand in a patient’s record. */
function readingsOf(value: string): readonly unknown[] {
  const { kept } = at.clinic.server
  const patient = kept.all('Patient').find(({ identifier }) => Object(identifier)[0].value === value)
  const observations = kept.all('Observation').map((one) => JSON.parse(JSON.stringify(one)))
  return observations
    .filter(
      ({ code, subject }) =>
        code.coding[0].code === '85354-9' && subject.reference.endsWith(`/${patient?.id}`),
    )
    .map(({ component }) => component[0].valueQuantity.value)
    .toSorted()
}

it.each(RUNGS.flatMap(([rung, behaviour]) => HAPPENINGS.map((one) => [rung, ...one, behaviour] as const)))(
  'by %s, where that %s: its readings do not stay in the record of the other',
  async (_rung, _what, happens, behaviour) => {
    await start(behaviour)
    at.clinic.server.faults.next([happens], ({ body }) => body.includes('"value":151'))
    expect(await at.deliver()).toMatchObject({ waiting: 1, settled: 0 })

    await at.flows.enrol('HW-2', { patient: { system: MRN, value: 'Q-1' } })
    await at.deliver()
    await at.deliverLater()
    expect(readingsOf('P-HW-1')).toEqual([141, 141, 141])
    await close()
    await at.deliverLater()
    expect((await at.entries()).every(({ state }) => state === 'settled')).toBe(true)
    expect(readingsOf('P-HW-1')).toEqual([141, 141, 141])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  },
)

it.each(RUNGS)('by %s: what it took with it to the other is corrected there', async (_rung, behaviour) => {
  await start(behaviour)
  await at.deliver()
  await at.flows.enrol('HW-2', { patient: { system: MRN, value: 'Q-1' } })
  await at.deliverLater()
  expect(readingsOf('Q-1')).toEqual([151])
  await at.flows.correct(morning('HW-2', 5, 145))
  await close()
  await at.deliverLater()
  expect(readingsOf('Q-1')).toEqual([145])
  await at.flows.withdraw('HW-2-5')
  await close()
  await at.deliverLater()
  const [withdrawn] = at.clinic.server.kept
    .all('Observation')
    .filter((one) => JSON.stringify(one).includes('"value":145'))
  expect(withdrawn).toMatchObject({ status: 'entered-in-error' })
  expect(at.clinic.server.ledger.createdTwice()).toEqual([])
})
