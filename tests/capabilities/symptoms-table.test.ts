/**
 * What servers were seen to do in practice, symptom by symptom, over the real flow, store and door, against a clinic's
 * server that really does it. Whatever it does, a clinic must get each thing once, and whoever operates the gateway must be
 * told what they have to do.
 *
 * Source of the symptoms: public issue threads of FHIR servers and clients, named at each; they say what was met, not what
 * R4 asks. What R4 asks is in FHIR R4 4.0.1 http.html.
 */
import { afterEach, describe, expect, it } from 'vitest'
import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import { previewDelivery } from '../../src/flow/operate/preview-delivery.ts'
import type { ClinicBehaviour } from '../support/hostile-clinic/clinic-behaviour.ts'
import {
  type DeliveryOverSocket,
  type DeliveryOverSocketOptions,
  openDeliveryOverSocket,
} from '../support/hostile-clinic/delivery-over-socket.ts'
import { fault } from '../support/hostile-clinic/fault.ts'
import { DESTINATION } from '../support/open-flows.ts'
import { OF_A_SITTING, queueSessions, readingOf, sitting } from '../support/queued-delivery.ts'
import { wordsTold } from '../support/words-told.ts'

let at: DeliveryOverSocket
afterEach(() => at.close())

async function start(
  options: DeliveryOverSocketOptions = {},
  ids: readonly string[] = ['s-1'],
): Promise<void> {
  at = await openDeliveryOverSocket(options)
  await queueSessions(at, 'HW-1', ids)
}

const TOGETHER = {} as const
const SINGLY = { transaction: 'off' } as const
const SEARCHED_FIRST = { transaction: 'off', conditionalCreate: false, updateCreate: false } as const

const CREATING: readonly (readonly [string, Partial<ClinicBehaviour>])[] = [
  ['together', TOGETHER],
  ['singly', SINGLY],
  ['when looked for first', SEARCHED_FIRST],
]

/** The first entry, or another, in the words in which its operator reads of it. */
async function isTold(state: string, problem?: ErrorCode, id?: number): Promise<void> {
  const told = await at.told(id)
  const words = problem === undefined ? [] : wordsTold(problem, state)
  expect([told.state, told.problem?.code, told.problem?.meaning, told.problem?.remedy]).toEqual([
    state,
    problem,
    words[0],
    words[1],
  ])
  if (id !== undefined) return
  const { detail, outcome } = await at.lastAttempt()
  expect([outcome, detail.problem]).toEqual([state === 'settled' ? 'done' : 'failed', problem])
}

function everyReadingIsThereOnce(...ids: readonly string[]): void {
  expect(at.clinic.ledger.createdTwice()).toEqual([])
  for (const id of ids) {
    for (const ordinal of [1, 2]) expect(at.clinic.ledger.timesCreated(readingOf(id, ordinal))).toBe(1)
  }
}

/** A resource of the first entry, put there as if another system had sent it. */
async function putBehindBack(uuid: string): Promise<void> {
  const preview = await previewDelivery((await at.told()).id, at.flows.ports)
  const entry = preview?.bundle?.entry?.find(({ fullUrl }) => fullUrl?.endsWith(uuid))
  if (entry?.resource === undefined) throw new Error('there is no such resource')
  at.clinic.putBehindBack({ ...entry.resource })
}

/** hapi-fhir #3141, hapi-fhir-jpaserver-starter #459; microsoft/fhir-server #1382; LinuxForHealth/FHIR #2051, #3895. */
describe('parallel conditional creates that double', () => {
  it.each(CREATING)(
    'meet one writer for each patient and monitor, and double nothing: %s',
    async (_, behaviour) => {
      await start({ behaviour: { ...behaviour, raceMs: 40 }, delivery: { inFlight: 8 } }, ['s-1', 's-2'])
      // Another person with the same monitor, and the first one's record from a second source's name for them.
      await queueSessions(at, 'HW-2', ['s-3', 's-4'])
      await at.flows.enrol('HW-9', { patient: { system: 'https://clinic.example/mrn', value: 'P-HW-1' } })
      await at.flows.receive([sitting('s-5', 'HW-9')])
      expect(await at.deliver()).toMatchObject({ settled: 5 })
      everyReadingIsThereOnce('s-1', 's-2', 's-3', 's-4', 's-5')
      expect(at.clinic.kept.all('Device')).toHaveLength(1)
    },
  )

  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])('and were there before us are told, and left alone: %s', async (_, behaviour) => {
    await start({ behaviour })
    await putBehindBack(readingOf('s-1', 1))
    await putBehindBack(readingOf('s-1', 1))
    await at.deliver()
    await isTold('given-up', 'CLINIC_DUPLICATES')
    expect(at.clinic.holding(readingOf('s-1', 1))).toHaveLength(2)
  })
})

/** hapi-fhir #5131, #6815 (HAPI-0550); hapi-fhir-jpaserver-starter #826; fhir-candle #42 (a double answered with 500). */
describe('a double that fails on an index of the server’s own instead of matching', () => {
  it.each([400, 409, 422, 500] as const)(
    'with %i: what was done and not heard is found, and not posted again',
    async (oneMatch) => {
      for (const behaviour of [TOGETHER, SINGLY]) {
        await start({ behaviour: { ...behaviour, oneMatch } })
        at.clinic.faults.next([fault.dropAfter])
        await at.deliver()
        await at.deliverLater()
        await isTold('settled')
        everyReadingIsThereOnce('s-1')
        if (behaviour === TOGETHER) await at.close()
      }
    },
  )

  it.each([400, 409, 422, 500] as const)(
    'with %i: the next session of the same monitor goes without it, and refers to where it is',
    async (oneMatch) => {
      await start({ behaviour: { oneMatch } }, ['s-1', 's-2'])
      expect(await at.deliver()).toMatchObject({ settled: 2 })
      await isTold('settled')
      expect((await at.lastAttempt()).detail).toMatchObject({ rung: 'transaction', alreadyThere: 1 })
      everyReadingIsThereOnce('s-1', 's-2')
      expect(at.clinic.kept.all('Device')).toHaveLength(1)
    },
  )
})

/** hapi-fhir #5651; Spark #520. */
describe('a condition that needs or refuses a leading “?” or the type before it', () => {
  it('goes as R4 has it, without either, where they are refused', async () => {
    await start({ behaviour: { condition: 'plain' } })
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    everyReadingIsThereOnce('s-1')
  })

  it.each(['marked', 'typed'] as const)(
    'where it needs to be %s the next way is taken in the same attempt, and that is remembered',
    async (condition) => {
      await start({ behaviour: { condition } }, ['s-1', 's-2'])
      expect(await at.deliver()).toMatchObject({ settled: 2 })
      await isTold('settled')
      expect((await at.lastAttempt()).detail.rung).toBe('own-id')
      everyReadingIsThereOnce('s-1', 's-2')
      expect(at.clinic.seen('transaction')).toHaveLength(1)
      expect((await at.flows.ports.store.route(DESTINATION))?.ruledOut.map(({ rung }) => rung)).toEqual([
        'transaction',
        'conditional-create',
      ])
    },
  )
})

/** hapi-fhir #8183, #4281. */
describe('a server that settles in silence what it should refuse', () => {
  it('never gets one identity twice in a transaction, of which it could drop one', async () => {
    await start({ behaviour: { sameConditionTwice: 'one-dropped' } })
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    await at.deliver()
    const identities = at.clinic.seen('transaction').map(({ body = '' }) => {
      const { entry } = JSON.parse(body) as { entry: { request: { url: string; ifNoneExist?: string } }[] }
      return entry.map(({ request }) => `${request.url} ${request.ifNoneExist ?? ''}`)
    })
    // The session, the proof that conditions hold, and the correction.
    expect(identities.map((all) => all.length)).toEqual([OF_A_SITTING, 1, OF_A_SITTING])
    for (const all of identities) expect(new Set(all).size).toBe(all.length)
    for (const ordinal of [1, 2]) {
      const [versions] = at.clinic.holding(readingOf('s-1', ordinal))
      expect(versions?.at(-1)?.resource).toMatchObject({ status: 'amended' })
    }
  })

  it('is not trusted to say that several match: an update looks for itself', async () => {
    await start({ behaviour: { severalMatches: 'first-taken' } })
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    const [versions] = at.clinic.holding(readingOf('s-1', 1))
    const reading = versions?.at(-1)?.resource
    at.clinic.putBehindBack({ ...reading, resourceType: 'Observation', id: 'double' })
    const before = at.clinic.ledger.writes.length
    await at.deliver()
    await isTold('given-up', 'CLINIC_DUPLICATES', (await at.told()).id + 1)
    expect(at.clinic.ledger.writes).toHaveLength(before)
  })
})

/** microsoft/fhir-server #1658, #2400; medplum #9506. */
describe('429 in one entry that breaks off the rest', () => {
  it.each([0, 1, 3])('at entry %i: it waits, and then everything is there once', async (place) => {
    await start()
    at.clinic.faults.next([fault.entryFails(place, 429, true)])
    await at.deliver()
    await isTold('waiting', 'CLINIC_BUSY')
    expect(await at.deliverLater()).toMatchObject({ settled: 1 })
    everyReadingIsThereOnce('s-1')
    expect(at.clinic.kept.all('Provenance')).toHaveLength(1)
  })
})

/** fhir-kit-client #91; client-js #86, #126; fhir-dsl #16; medplum #3057; Spark #88. */
describe('no Location, and nothing in the body', () => {
  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
    ['when looked for first', SEARCHED_FIRST],
  ])(
    'is a success all the same, and what refers to what was made names it rightly: %s',
    async (_, behaviour) => {
      await start({
        behaviour: { ...behaviour, location: 'missing', etag: false, writtenBody: 'never' },
      })
      expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
      await isTold('settled')
      everyReadingIsThereOnce('s-1')
      const [provenance] = at.clinic.kept.all('Provenance')
      // Either leads there, or names it by our identifier.
      for (const ordinal of [1, 2]) {
        const uuid = readingOf('s-1', ordinal)
        const place = `Observation/${at.clinic.holding(uuid)[0]?.[0]?.id}`
        expect([uuid, place].some((key) => JSON.stringify(provenance?.target).includes(`"${key}"`))).toBe(
          true,
        )
      }
    },
  )
})

/** fhir-candle #26, #42. */
describe('an entry whose status has no digits', () => {
  it('promises nothing: what was made is looked for, found, and not made again', async () => {
    await start({ behaviour: { entryStatus: 'words' } })
    await at.deliver()
    await isTold('waiting', 'CLINIC_ANSWER_UNREADABLE')
    expect(await at.deliverLater()).toMatchObject({ settled: 1, alreadyThere: OF_A_SITTING })
    everyReadingIsThereOnce('s-1')
    expect(at.clinic.seen('transaction')).toHaveLength(1)
  })
})

/** fhir-kit-client #75; fhir-dsl #18; Spark #282. */
describe('a failure that is not told as R4 has it', () => {
  it.each<[string, ClinicBehaviour['failure'], ErrorCode]>([
    ['an OperationOutcome as application/problem+json', 'problem-json', 'CLINIC_REFUSED'],
    ['plain text', 'text', 'CLINIC_ANSWER_UNREADABLE'],
    ['a page', 'page', 'CLINIC_ANSWER_UNREADABLE'],
  ])('%s does not hide the status', async (_, failure, problem) => {
    await start({ behaviour: { failure, codeRefused: '85354-9' } })
    await at.deliver()
    await isTold('given-up', problem)
    const { said } = await at.told()
    expect(said?.status).toBe(422)
    if (failure === 'problem-json') expect(said?.text).toContain('The profile of this code is not met')
  })
})

/** uds-plus #62: the HL7 validator keys core profiles off the code; other servers want a profile that they list. */
describe('an Observation that is refused for a profile', () => {
  it.each([
    ['together', TOGETHER],
    ['singly', SINGLY],
  ])(
    'because its code forces one is given up, with what was said for a person to read: %s',
    async (_, behaviour) => {
      await start({ behaviour: { ...behaviour, codeRefused: '85354-9' } })
      await at.deliver()
      await isTold('given-up', 'CLINIC_REFUSED')
      expect((await at.told()).said).toMatchObject({
        status: 422,
        text: expect.stringContaining('Observation.code'),
      })
      everyReadingIsThereNever()
    },
  )

  it('because it claims none is given up, and goes where the destination claims it', async () => {
    const profileRequired = 'http://hl7.org/fhir/us/core/StructureDefinition/us-core-blood-pressure'
    await start({ behaviour: { profileRequired } })
    await at.deliver()
    await isTold('given-up', 'CLINIC_REFUSED')
    await at.close()
    await start({ behaviour: { profileRequired }, destination: { claims: ['us-core'] } })
    expect(await at.deliver()).toMatchObject({ settled: 1, created: OF_A_SITTING })
    await isTold('settled')
  })

  function everyReadingIsThereNever(): void {
    for (const ordinal of [1, 2]) expect(at.clinic.holding(readingOf('s-1', ordinal))).toEqual([])
  }
})

/** hapi-fhir-jpaserver-starter #59 and others: statements that lie in both directions. */
describe('a statement that lies', () => {
  it.each<[string, Partial<ClinicBehaviour>]>([
    ['says transaction, and runs it as a batch', { transaction: 'as-batch' }],
    ['says transaction, and has none', { transaction: 'off', stated: { transaction: true } }],
    [
      'says conditional create, and refuses conditions in a transaction',
      { conditionInTransaction: 'refused' },
    ],
    [
      'says conditional create, and answers 412',
      {
        transaction: 'off',
        conditionalCreate: false,
        unsupportedCondition: 412,
        stated: { conditionalCreate: true },
      },
    ],
    [
      'says update as create, and takes none',
      { transaction: 'off', conditionalCreate: false, updateCreate: false, stated: { updateCreate: true } },
    ],
    ['says nothing of a transaction that it has', { stated: { transaction: false } }],
    ['is of another release', { statement: 'stu3' }],
    ['is a page', { statement: 'page' }],
    ['is not there', { statement: 'missing' }],
    ['has no rest', { statement: 'without-rest' }],
  ])('%s: everything comes once all the same', async (_, behaviour) => {
    await start({ behaviour }, ['s-1', 's-2'])
    expect(await at.deliver()).toMatchObject({ settled: 2 })
    await isTold('settled')
    everyReadingIsThereOnce('s-1', 's-2')
    expect(at.clinic.kept.all('Provenance')).toHaveLength(2)
  })

  const EVERYTHING = { ...SEARCHED_FIRST, searchFilter: 'ignored' } as const

  it('says search by identifier, and answers with everybody: no patient is taken for the one', async () => {
    await start({ behaviour: EVERYTHING })
    await at.deliver()
    await isTold('parked', 'PATIENT_NOT_MATCHED')
    expect(at.clinic.seen('create')).toEqual([])
  })

  it('is not there, and nothing else either, as under a mistyped base: the operator is sent there too', async () => {
    const types = ['Patient', 'Device', 'Observation', 'Provenance']
    const ofType = Object.fromEntries(types.map((type) => [type, 'not-served' as const]))
    await start({ behaviour: { statement: 'missing', transaction: 'off', ofType } })
    await at.deliver()
    await isTold('parked', 'PATIENT_NOT_MATCHED')
    const { meaning, remedy } = (await at.told()).problem ?? {}
    expect(meaning).toContain('search for patients cannot be used')
    expect(remedy).toContain('base URL')
  })

  describe('says search by identifier, and answers with everything', () => {
    const UNASKED = { behaviour: EVERYTHING, destination: { patient: { by: 'identifier-only' } } } as const
    const theirs = (resourceType: string) =>
      at.clinic.putBehindBack({
        resourceType,
        identifier: [{ system: 'urn:other', value: 'other' }],
        status: 'final',
        code: { text: 'Another system’s' },
      })

    it('from the start: nothing is taken for found', async () => {
      await start(UNASKED, ['s-1', 's-2'])
      theirs('Device')
      theirs('Observation')
      expect(await at.deliver()).toMatchObject({ settled: 2 })
      await isTold('settled')
      expect((await at.lastAttempt()).detail.rung).toBe('create-only')
      everyReadingIsThereOnce('s-1', 's-2')
    })

    it('as soon as there is anything: what is known as held is not made again', async () => {
      await start(UNASKED, ['s-1', 's-2'])
      expect(await at.deliver()).toMatchObject({ settled: 2, parked: 0 })
      expect((await at.lastAttempt()).detail.rung).toBe('create-only')
      everyReadingIsThereOnce('s-1', 's-2')
      expect(at.clinic.kept.all('Device')).toHaveLength(1)
    })
  })

  it('finds what was written only later: it is left alone until then', async () => {
    const behaviour = { ...SEARCHED_FIRST, searchLagMs: 300 }
    const byIdentifier = { patient: { by: 'identifier-only' } }
    await start({ behaviour, delivery: { quietMs: 60_000 }, destination: byIdentifier })
    at.clinic.faults.next(
      [fault.dropAfter],
      ({ kind, body }) => kind === 'create' && body.includes(readingOf('s-1', 1)),
    )
    await at.deliver()
    await isTold('waiting', 'CLINIC_UNREACHABLE')
    expect(await at.deliverLater(30_000)).toMatchObject({ settled: 0, waiting: 0 })
    await new Promise((resolve) => setTimeout(resolve, behaviour.searchLagMs))
    expect(await at.deliverLater(60_000)).toMatchObject({ settled: 1 })
    everyReadingIsThereOnce('s-1')
  })
})
