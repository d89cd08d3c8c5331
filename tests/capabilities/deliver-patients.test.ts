/** Whose record something goes into is the clinic's to say: it is found by its own identifier, or left to a person. */
import { setTimeout } from 'node:timers/promises'
import { afterEach, describe, expect, it } from 'vitest'
import { fault } from '../support/hostile-clinic/fault.ts'
import { MRN } from '../support/played-clinic.ts'
import {
  NOTHING,
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  readingOf,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const known = { system: MRN, value: 'P-HW-1' }
const TOGETHER = {}
const SINGLY = { transaction: 'off' } as const

const ofReading = (id: string): Readonly<Record<string, unknown>> =>
  at.clinic.server.holding(readingOf(id, 1))[0]?.at(-1)?.resource ?? {}
const problem = async () => (await at.first()).lastProblem

describe.each([
  ['together', TOGETHER],
  ['singly', SINGLY],
] as const)('written %s', (_, behaviour) => {
  it.each([
    ['nobody', [], 'PATIENT_UNKNOWN'],
    ['several', ['P-HW-1', 'P-HW-1'], 'PATIENT_AMBIGUOUS'],
  ] as const)(
    'an identifier of %s parks the entry, and what is behind it waits',
    async (_who, patients, why) => {
      at = await openDelivery({ played: { patients, behaviour } })
      await queueSessions(at, 'HW-1', ['s-1', 's-2'])
      expect(await at.deliver()).toEqual({ ...NOTHING, parked: 1 })
      expect(await problem()).toBe(why)
      expect(await at.deliverLater(30 * 86_400_000)).toEqual(NOTHING)
      expect((await at.entries()).map(({ state }) => state)).toEqual(['parked', 'waiting'])
      expect(at.clinic.server.ledger.writes.filter(({ request }) => request > 0)).toEqual([])
    },
  )

  it('a patient whose record was merged parks the entry', async () => {
    at = await openDelivery({ played: { patients: [], behaviour } })
    at.clinic.server.register(known, {
      link: [{ type: 'replaced-by', other: { reference: 'Patient/other' } }],
    })
    await queueSessions(at)
    // A server that resolves the reference to a record that is replaced is none of these tests.
    if (behaviour === TOGETHER) at.clinic.server.faults.next([fault.status(412)], ['transaction'])
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await problem()).toBe('PATIENT_REPLACED')
  })

  it('a corrected enrolment sends what was parked, in order', async () => {
    at = await openDelivery({ played: { patients: ['P-right'], behaviour } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    await at.deliver()
    await at.flows.enrol('HW-1', { patient: { system: MRN, value: 'P-right' } })
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    const places = ['s-1', 's-2'].map(
      (id) => at.clinic.server.ledger.writes.find(({ key }) => key === readingOf(id, 1))?.place ?? -1,
    )
    expect(places).toEqual(places.toSorted((one, other) => one - other))
    expect(at.clinic.server.ledger.aboutPatient('P-right').length).toBeGreaterThan(0)
  })

  it('a patient is made only where the destination says so, with nothing but the identifier, and once', async () => {
    at = await openDelivery({
      played: { patients: [], behaviour },
      destination: { patient: { create: true } },
    })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    const made = at.clinic.server.holding('P-HW-1').map((versions) => versions.at(-1)?.resource)
    expect(made).toHaveLength(1)
    const { id: _id, meta: _meta, ...rest } = made[0] ?? { resourceType: 'none' }
    expect(rest).toEqual({ resourceType: 'Patient', identifier: [known] })
  })

  it('somebody else is not taken for the patient who was to be made, whatever the condition matched', async () => {
    at = await openDelivery({
      played: { patients: ['P-other'], behaviour: { ...behaviour, conditionSelects: 'anything' } },
      destination: { patient: { create: true } },
    })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await problem()).toBe('PATIENT_NOT_MATCHED')
    expect(at.clinic.server.kept.all('Observation')).toEqual([])
  })

  it('one whom somebody else made meanwhile is the patient', async () => {
    at = await openDelivery({
      played: { patients: [], behaviour },
      destination: { patient: { create: true } },
    })
    at.clinic.meanwhile(
      ({ method, path }) => method === 'POST' && path === 'Patient',
      () => {
        at.clinic.server.putBehindBack({ resourceType: 'Patient', id: 'quicker', identifier: [known] })
      },
    )
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1 })
    expect(ofReading('s-1').subject).toMatchObject({ reference: 'Patient/quicker' })
  })

  it('a patient is not looked for where the clinic matches by itself', async () => {
    at = await openDelivery({
      played: { patients: [], behaviour },
      destination: { patient: { by: 'identifier-only' } },
    })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    expect(ofReading('s-1').subject).toEqual({ type: 'Patient', identifier: known })
    expect(at.clinic.server.requests.filter(({ path }) => path.startsWith('Patient'))).toEqual([])
  })
})

describe('a conditional reference that the server does not resolve', () => {
  it('is replaced by the patient that a search finds', async () => {
    at = await openDelivery({ played: { behaviour: { conditionalReference: 'refused' } } })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    expect(ofReading('s-1').subject).toMatchObject({ reference: expect.stringMatching(/^Patient\//) })
  })

  it('is not sent where the destination says that the patient is searched for', async () => {
    at = await openDelivery({ destination: { patient: { by: 'search' } } })
    await queueSessions(at, 'HW-1', ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    // Two sessions, and between them the proof that conditions hold.
    expect(at.clinic.posted.map(({ text }) => text.includes('Patient?'))).toEqual([false, false, false])
    // Found a moment ago, it is not searched for again.
    expect(at.clinic.server.seen('search')).toHaveLength(1)
  })
})

describe('the search for a patient', () => {
  it('names nobody in an address, where the server takes that', async () => {
    at = await openDelivery({ destination: { patient: { by: 'search' } } })
    await queueSessions(at)
    await at.deliver()
    for (const { path, query } of at.clinic.server.seen('search')) {
      expect([path, query]).toEqual(['Patient/_search', ''])
    }
  })

  it('takes the form that the server offers, and goes on with it', async () => {
    at = await openDelivery({
      played: { behaviour: { ofType: { Patient: { search: 'get' } } } },
      destination: { patient: { by: 'search' } },
    })
    await queueSessions(at, 'HW-1', ['s-1'])
    await queueSessions(at, 'HW-2', ['s-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
  })

  it('that answers with everybody is not believed', async () => {
    at = await openDelivery({
      played: { behaviour: { searchFilter: 'ignored' } },
      destination: { patient: { by: 'search' } },
    })
    await queueSessions(at)
    expect(await at.deliver()).toMatchObject({ parked: 1 })
    expect(await problem()).toBe('PATIENT_NOT_MATCHED')
  })
})

describe('one patient whom two sources know', () => {
  it('is written about by one delivery at a time', async () => {
    at = await openDelivery({ played: { pauseMs: 10 } })
    await at.flows.enrol('HW-1', { patient: known })
    await at.flows.enrol('HW-2', { patient: known })
    await at.flows.receive([sitting('s-1', 'HW-1'), sitting('s-2', 'HW-2')])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    const [first, second] = at.clinic.posted
    expect(first?.answered).toBeLessThan(second?.began ?? -1)
  })
})

describe('an enrolment that is mended while a delivery waits for its turn', () => {
  /** While the first delivery is at the server, the subject of the second turns out to be another patient. */
  async function mendMeanwhile(inFlight: number, patientOfBoth: boolean): Promise<void> {
    at = await openDelivery({ delivery: { inFlight } })
    await at.flows.enrol('HW-1', { patient: known })
    await at.flows.enrol('HW-2', patientOfBoth ? { patient: known } : {})
    await at.flows.receive([sitting('s-1', 'HW-1'), sitting('s-2', 'HW-2')])
    at.clinic.meanwhile(
      ({ body = '' }) => body.includes(readingOf('s-1', 1)),
      async () => {
        // Long enough for the second to be rendered.
        await setTimeout(50)
        await at.flows.enrol('HW-2', { patient: { system: MRN, value: 'P-HW-3' } })
      },
    )
    // What was claimed counts as sent under the link before, and is brought over behind it.
    expect(await at.deliver()).toMatchObject({ settled: 3 })
  }

  it.each([
    ['that was rendered ahead of it', 1, false],
    ['that waits for another one about the same patient', 2, true],
  ] as const)('%s goes out under the link that stands', async (_, inFlight, patientOfBoth) => {
    await mendMeanwhile(inFlight, patientOfBoth)
    // The monitor that proves the conditions is about no patient.
    const patients = at.clinic.posted.map(({ patient }) => patient).filter((patient) => patient !== '')
    // What is to be brought over stands where it belongs by then, so nothing of it is written again.
    expect(patients).toEqual(['P-HW-1', 'P-HW-3'])
  })
})
