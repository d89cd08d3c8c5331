/** A subject that is linked anew while what is to be brought over to the patient before waits, as the clinic asked. */
import { afterEach, expect, it } from 'vitest'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import { openDelivery, type QueuedDelivery, queueSessions } from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const LATER = 'later-clinic'

const RUNGS = [
  ['transaction', {}],
  ['conditional-create', { transaction: 'off' }],
  ['own-id', { transaction: 'off', conditionalCreate: false }],
  ['search-first', { transaction: 'off', conditionalCreate: false, updateCreate: false }],
] as const

const LINKS = [
  ['to a third patient', 'R-1', 'clinic', 'R-1'],
  ['back', 'P-HW-1', 'clinic', 'P-HW-1'],
  ['to another clinic', 'R-1', LATER, 'Q-1'],
] as const

/** Values of the patients that Observations and Provenances of the clinic name. */
function named(): readonly string[] {
  const { kept } = at.clinic.server
  const values = new Map(
    kept.all('Patient').map(({ id, identifier }) => [`Patient/${id}`, Object(identifier)[0].value]),
  )
  const texts = [...kept.all('Observation'), ...kept.all('Provenance')].map((one) => JSON.stringify(one))
  const found = texts.flatMap((text) => text.match(/Patient\/[^"/]+/g) ?? [])
  return [...new Set(found)].map((reference) => values.get(reference) ?? reference)
}

it.each(RUNGS.flatMap(([rung, behaviour]) => LINKS.map((link) => [rung, ...link, behaviour] as const)))(
  'by %s, linked %s: everything is in one record, and once',
  async (_rung, _how, value, destination, stands, behaviour) => {
    at = await openDelivery({
      played: { behaviour, patients: ['P-HW-1', 'Q-1', 'R-1'] },
      others: [{ name: LATER, baseUrl: 'https://later.example/fhir', readings: 'never' }],
    })
    at.clinic.rest(LATER)
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' } })
    // Singly, the first reading is brought over, and the next write is put off.
    at.clinic.server.faults.every(behaviour === RUNGS[0][1] ? 1 : 2, fault.status(429, { retryAfter: '600' }))
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    at.clinic.server.faults.stop()

    await at.flows.enrol('HW-1', { patient: { system: MRN, value }, destination })
    expect(await at.deliver()).toMatchObject({ settled: 0 })
    for (let round = 1; round <= 2; round += 1) await at.deliverLater()
    expect((await at.entries()).map(({ state }) => state)).not.toContain('waiting')
    expect(named()).toEqual([stands])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  },
)

it.each(RUNGS)(
  'by %s, what was made though the clinic said not now is brought over too, and once',
  async (_rung, behaviour) => {
    at = await openDelivery({ played: { behaviour, patients: ['P-HW-1', 'Q-1'] } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    const doneAllTheSame = fault.status(503, { retryAfter: '600', doneAllTheSame: true })
    at.clinic.server.faults.next(
      [doneAllTheSame],
      ({ kind, path }) =>
        kind === 'transaction' || (/^(create|update)$/.test(kind) && path.startsWith('Observation')),
    )
    expect(await at.deliver()).toMatchObject({ settled: 0, waiting: 1 })
    expect(named()).toEqual(['P-HW-1'])
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'Q-1' } })
    for (let round = 1; round <= 3; round += 1) await at.deliverLater()
    expect((await at.entries()).every(({ state }) => state === 'settled')).toBe(true)
    expect(named()).toEqual(['Q-1'])
    expect(at.clinic.server.ledger.createdTwice()).toEqual([])
  },
)
