import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ClinicClient, clinicClient } from './clinic-client.ts'
import type { ClinicResource } from './clinic-resource.ts'
import {
  conditionOf,
  creating,
  observation,
  PATIENT,
  PATIENT_REFERENCE,
  provenance,
  transaction,
} from './hostile-clinic-samples.ts'
import { type StartedClinic, startHostileClinic } from './start-hostile-clinic.ts'

/** What an honest server owes to a bundle by FHIR R4 4.0.1 http.html#transaction and #trules. */
let started: StartedClinic
let client: ClinicClient

beforeEach(async () => {
  started = await startHostileClinic({ patients: [PATIENT] })
  client = clinicClient(started.baseUrl)
})
afterEach(() => started.close())

const post = (...entry: readonly object[]) => client.send('POST', '', transaction(...entry))

function heldAs(key: string): ClinicResource | undefined {
  return started.clinic.holding(key)[0]?.at(-1)?.resource
}

function writesBeside(): number {
  return started.clinic.ledger.writes.filter(({ request }) => request > 0).length
}

describe('a transaction', () => {
  it('makes everything at once and answers entry by entry, in order', async () => {
    const answer = await post(
      creating(observation('a', { subject: PATIENT_REFERENCE }), 'a'),
      creating(provenance('p', 'urn:uuid:a'), 'p', '_tag=https://gateway.example/provenance|p'),
    )
    expect(answer.status).toBe(200)
    const place = `Observation/${heldAs('a')?.id}`
    expect(answer.resource).toMatchObject({
      type: 'transaction-response',
      entry: [
        { response: { status: '201 Created', etag: 'W/"1"' } },
        { response: { status: '201 Created' } },
      ],
    })
    expect(heldAs('p')?.target).toEqual([{ reference: place }])
    expect(heldAs('a')?.subject).toMatchObject({ reference: expect.stringMatching(/^Patient\/.+/) })
    expect(started.clinic.ledger.aboutPatient('P-1').map(({ key }) => key)).toEqual(['a', 'p'])
  })

  it('posted again makes nothing, and links to what it matched', async () => {
    await post(creating(observation('a'), 'a'))
    const answer = await post(
      creating(observation('a'), 'a'),
      creating(provenance('p', 'urn:uuid:a'), 'p', '_tag=t|p'),
    )
    expect(answer.resource).toMatchObject({
      entry: [{ response: { status: '200 OK' } }, { response: { status: '201 Created' } }],
    })
    expect(heldAs('p')?.target).toEqual([{ reference: `Observation/${heldAs('a')?.id}` }])
    expect(started.clinic.ledger.createdTwice()).toEqual([])
  })

  it.each<[string, () => readonly object[], number, string]>([
    [
      'a resource of its own is refused',
      () => [creating(observation('a'), 'a'), creating(observation('b', { status: undefined }), 'b')],
      422,
      'required',
    ],
    [
      'a conditional reference matches nobody',
      () => [
        creating(observation('a'), 'a'),
        creating(observation('b', { subject: { reference: 'Patient?identifier=x|nobody' } }), 'b'),
      ],
      412,
      'not-found',
    ],
    [
      'a urn: names no entry',
      () => [creating(observation('a', { device: { reference: 'urn:uuid:none' } }), 'a')],
      400,
      'not-found',
    ],
    [
      'a read in it fails',
      () => [creating(observation('a'), 'a'), { request: { method: 'GET', url: 'Observation/none' } }],
      404,
      'not-found',
    ],
    [
      'a fullUrl stands twice',
      () => [creating(observation('a'), 'a'), creating(observation('b'), 'a')],
      400,
      'invariant',
    ],
    [
      'a resource stands twice',
      () => [putting('a', { status: 'amended' }), putting('a', { status: 'final' })],
      400,
      'invariant',
    ],
    ['an entry has no request', () => [{ resource: observation('a') }], 400, 'invariant'],
  ])('does nothing at all when %s', async (_, entries, status, code) => {
    const answer = await post(...entries())
    expect(answer.status).toBe(status)
    expect(answer.resource).toMatchObject({ resourceType: 'OperationOutcome', issue: [{ code }] })
    expect(writesBeside()).toBe(0)
  })

  it('fails as a whole when the patient’s identifier belongs to two', async () => {
    started.clinic.register(PATIENT)
    const answer = await post(creating(observation('a', { subject: PATIENT_REFERENCE }), 'a'))
    expect(answer.status).toBe(412)
    expect(answer.resource?.issue).toMatchObject([
      { code: 'multiple-matches', diagnostics: expect.stringContaining('Patient?identifier=') },
    ])
    expect(writesBeside()).toBe(0)
  })

  it('resolves a conditional reference to a patient it makes itself', async () => {
    const fresh = { system: PATIENT.system, value: 'P-new' }
    await post(
      {
        resource: { resourceType: 'Patient', identifier: [fresh] },
        request: { method: 'POST', url: 'Patient', ifNoneExist: `identifier=${fresh.system}|${fresh.value}` },
      },
      creating(
        observation('a', { subject: { reference: `Patient?identifier=${fresh.system}|${fresh.value}` } }),
        'a',
      ),
    )
    const [patient] = started.clinic.holding('P-new')
    expect(heldAs('a')?.subject).toEqual({ reference: `Patient/${patient?.[0]?.id}` })
  })

  it('updates by condition and by id with ifMatch, all or nothing', async () => {
    await post(creating(observation('a'), 'a'), creating(observation('b'), 'b'))
    const id = String(heldAs('a')?.id)
    const stale = await post(putting('b', { status: 'amended' }), matching(id, 'W/"7"'))
    expect(stale.status).toBe(412)
    expect(heldAs('b')?.status).toBe('final')
    const done = await post(putting('b', { status: 'amended' }), matching(id, 'W/"1"'))
    expect(done.resource).toMatchObject({
      entry: [{ response: { status: '200 OK', etag: 'W/"2"' } }, { response: { etag: 'W/"2"' } }],
    })
  })

  it('tells each resource when that is preferred', async () => {
    const answer = await client.send('POST', '', transaction(creating(observation('a'), 'a')), {
      prefer: 'return=representation',
    })
    expect(answer.resource).toMatchObject({ entry: [{ resource: { resourceType: 'Observation' } }] })
  })

  it('that only reads shows that it is kept whole', async () => {
    const probe = transaction(
      { request: { method: 'GET', url: 'metadata-is-no-type/1' } },
      { request: { method: 'GET', url: 'Observation?_count=1' } },
    )
    expect((await client.send('POST', '', probe)).status).toBe(404)
    started.clinic.behave({ transaction: 'as-batch' })
    expect((await client.send('POST', '', probe)).status).toBe(200)
    expect(started.clinic.seen('probe')).toHaveLength(2)
  })
})

describe('a batch', () => {
  it('does each entry by itself', async () => {
    const answer = await client.send('POST', '', {
      ...transaction(creating(observation('a'), 'a'), creating(observation('b', { status: undefined }), 'b')),
      type: 'batch',
    })
    expect(answer.resource).toMatchObject({
      type: 'batch-response',
      entry: [
        { response: { status: '201 Created' } },
        { response: { status: '422 Failed', outcome: { resourceType: 'OperationOutcome' } } },
      ],
    })
    expect(writesBeside()).toBe(1)
  })
})

function putting(key: string, more: object): object {
  return {
    fullUrl: `urn:uuid:${key}-${JSON.stringify(more)}`,
    resource: observation(key, more),
    request: { method: 'PUT', url: `Observation?${conditionOf(key)}` },
  }
}

function matching(id: string, ifMatch: string): object {
  return {
    resource: observation('a', { id, status: 'amended' }),
    request: { method: 'PUT', url: `Observation/${id}`, ifMatch },
  }
}
