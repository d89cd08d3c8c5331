/** What would be sent can be seen before it is, and seeing it changes nothing. */
import { afterEach, describe, expect, it } from 'vitest'
import { previewDelivery } from '../../src/flow/operate/preview-delivery.ts'
import {
  OF_A_SITTING,
  openDelivery,
  type QueuedDelivery,
  queueSessions,
  sitting,
} from '../support/queued-delivery.ts'

let at: QueuedDelivery
afterEach(() => at.flows.close())

const preview = () => previewDelivery(1, at.flows.ports)

describe('the preview of a delivery', () => {
  it('is the bundle that is posted, with the way and the reason for it', async () => {
    at = await openDelivery()
    await queueSessions(at)
    const shown = await preview()
    expect(shown).toMatchObject({
      id: 1,
      destination: 'clinic',
      kind: 'fhir',
      way: {
        rung: 'transaction',
        because: [expect.stringContaining('transaction')],
        leftOut: [],
        differs: [],
      },
    })
    await at.deliver()
    expect(shown?.bundle).toEqual(JSON.parse(at.clinic.posted[0]?.text ?? '{}'))
  })

  it('writes nothing anywhere', async () => {
    at = await openDelivery()
    await queueSessions(at)
    const before = await at.flows.ports.store.auditPage({ limit: 100 })
    await preview()
    expect(at.clinic.server.ledger.writes.filter(({ request }) => request > 0)).toEqual([])
    expect(at.clinic.server.requests.map(({ kind }) => kind)).toEqual(['statement', 'probe'])
    expect(await at.flows.ports.store.routes()).toEqual([])
    expect(await at.flows.ports.store.auditPage({ limit: 100 })).toEqual(before)
    expect(await at.first()).toMatchObject({ state: 'waiting', attempts: 0, claims: 0 })
  })

  it('says what would be left out', async () => {
    at = await openDelivery({ played: { behaviour: { ofType: { Provenance: 'not-served' } } } })
    await queueSessions(at)
    const shown = await preview()
    expect(shown?.bundle?.entry).toHaveLength(OF_A_SITTING)
    expect(shown?.way?.leftOut).toEqual([
      { type: 'Provenance', uuid: expect.stringMatching(/^[\da-f-]{36}$/) },
    ])
  })

  it('leaves out nothing that the server can be given once, and not bring up to date', async () => {
    at = await openDelivery({ played: { behaviour: { ofType: { Provenance: { update: false } } } } })
    await queueSessions(at)
    expect((await preview())?.way?.leftOut).toEqual([])
    await at.deliver()
    expect(at.clinic.server.kept.all('Provenance')).toHaveLength(1)
  })

  const FOUND = { reference: expect.stringMatching(/^Patient\/\S+$/) }
  it.each([
    ['search', {}, 'The patient is searched for first', FOUND],
    ['identifier-only', {}, 'The patient is named by the identifier', { identifier: { value: 'P-HW-1' } }],
    // Only in a transaction is the patient left to the server.
    ['conditional-reference', { transaction: 'off' }, 'The patient is searched for first', FOUND],
  ] as const)(
    'says how the patient is named in place of the bundle’s: %s',
    async (by, behaviour, told, named) => {
      at = await openDelivery({ played: { behaviour }, destination: { patient: { by } } })
      await queueSessions(at)
      expect((await preview())?.way?.differs).toEqual([expect.stringContaining(told)])
      await at.deliver()
      expect(at.clinic.server.kept.all('Observation')[0]?.subject).toMatchObject(named)
    },
  )

  it.each([
    ['park', {}, /looked for first, .* under If-Match/],
    ['park', { update: false }, /takes no update: .* left to a person/],
    ['send-as-new', { update: false }, /takes no update: .* sent as new/],
  ] as const)('says what becomes of an amendment: %s, %j', async (cannotUpdate, behaviour, told) => {
    at = await openDelivery({ played: { behaviour }, destination: { cannotUpdate } })
    await queueSessions(at)
    await at.deliver()
    await at.flows.correct(sitting('s-1', 'HW-1', 131))
    const shown = await previewDelivery(2, at.flows.ports)
    expect(shown?.way?.differs).toEqual([expect.stringMatching(told)])
  })

  it('rests on what was known before when the server does not answer', async () => {
    at = await openDelivery()
    await queueSessions(at)
    at.clinic.unsentNext({ problem: 'CLINIC_UNREACHABLE' })
    expect(await preview()).toMatchObject({ way: { unreached: { code: 'CLINIC_UNREACHABLE' } } })
  })

  it('is the message, for a clinic without FHIR', async () => {
    at = await openDelivery({
      destination: {
        kind: 'hl7v2',
        host: '127.0.0.1',
        port: 2575,
        authority: 'CLINIC',
        receiver: { application: 'EHR', facility: 'CLINIC' },
      },
    })
    await queueSessions(at)
    const shown = await preview()
    expect(shown?.message?.split('\r')[0]).toMatch(/^MSH\|/)
    expect(shown?.bundle).toBeUndefined()
  })

  it('says why nothing would be sent', async () => {
    let gone = false
    at = await openDelivery({
      around: (store) => ({
        ...store,
        enrolments: async (source, subjects) =>
          gone ? subjects.map(() => undefined) : store.enrolments(source, subjects),
      }),
    })
    await queueSessions(at)
    gone = true
    expect(await preview()).toMatchObject({ instead: { code: 'ENROLMENT_GONE' } })
  })

  it('of nothing is nothing', async () => {
    at = await openDelivery()
    expect(await preview()).toBeUndefined()
  })
})
