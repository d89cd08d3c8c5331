import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import type { ClinicBehaviour } from './clinic-behaviour.ts'
import { type ClinicClient, clinicClient } from './clinic-client.ts'
import { conditionOf, creating, observation, PATIENT, transaction } from './hostile-clinic-samples.ts'
import { type StartedClinic, startHostileClinic } from './start-hostile-clinic.ts'

let started: StartedClinic
let client: ClinicClient

beforeEach(async () => {
  started = await startHostileClinic({ patients: [PATIENT] })
  client = clinicClient(started.baseUrl)
})
afterEach(() => started.close())

const post = (...entry: readonly object[]) => client.send('POST', '', transaction(...entry))
const create = (key: string, headers = {}) => client.send('POST', 'Observation', observation(key), headers)
const createIfNone = (key: string) => create(key, { 'if-none-exist': conditionOf(key) })

interface Rest {
  readonly interaction: readonly { readonly code: string }[]
  readonly resource: readonly Readonly<Record<string, unknown>>[]
}

function restOf(statement: object | undefined): Rest {
  const [rest] = (statement as { readonly rest: readonly Rest[] } | undefined)?.rest ?? []
  if (rest === undefined) throw new Error('the statement has no rest')
  return rest
}

describe('the statement', () => {
  it('tells the truth of every switch, and lies where it is told to', async () => {
    const stated = async (changes: Partial<ClinicBehaviour>) => {
      started.clinic.behave(changes)
      const { resource } = await client.send('GET', 'metadata')
      const rest = restOf(resource)
      const observed = rest.resource.find(({ type }) => type === 'Observation')
      const codes = JSON.stringify(observed?.interaction)
      return [
        rest.interaction.some(({ code }) => code === 'transaction'),
        observed?.conditionalCreate,
        observed?.updateCreate,
        codes.includes('"search-type"'),
      ]
    }
    expect(await stated({})).toEqual([true, true, true, true])
    expect(
      await stated({ transaction: 'off', conditionalCreate: false, updateCreate: false, search: 'off' }),
    ).toEqual([false, false, false, false])
    expect(await stated({ stated: { transaction: true, conditionalCreate: true, search: 'get' } })).toEqual([
      true,
      true,
      false,
      true,
    ])
  })

  it('may leave out a type, be of another release, be a page, or not be there', async () => {
    started.clinic.behave({ ofType: { Provenance: 'not-served' } })
    const { resource } = await client.send('GET', 'metadata')
    expect(restOf(resource).resource.map(({ type }) => type)).toEqual(['Patient', 'Device', 'Observation'])
    started.clinic.behave({ statement: 'stu3' })
    expect((await client.send('GET', 'metadata')).resource?.fhirVersion).toBe('3.0.2')
    started.clinic.behave({ statement: 'page' })
    expect((await client.send('GET', 'metadata')).headers['content-type']).toBe('text/html')
    started.clinic.behave({ statement: 'missing' })
    expect((await client.send('GET', 'metadata')).status).toBe(404)
  })
})

describe('a server whose habits are its own', () => {
  it('doubles what comes in parallel when it looks first and inserts later', async () => {
    started.clinic.behave({ raceMs: 500 })
    await Promise.all([createIfNone('a'), createIfNone('a'), post(creating(observation('a'), 'a'))])
    expect(started.clinic.ledger.createdTwice()).toEqual(['Observation a'])
    expect(started.clinic.ledger.timesCreated('a')).toBe(3)
    expect((await createIfNone('a')).status).toBe(412)
  })

  it.each<[string, Partial<ClinicBehaviour>, string | undefined]>([
    ['relative', { location: 'relative' }, 'Observation/'],
    ['http', { location: 'http' }, 'http://inside.invalid'],
    ['foreign', { location: 'foreign' }, 'https://elsewhere.invalid'],
    ['missing', { location: 'missing' }, undefined],
  ])('tells a %s place', async (_, changes, start) => {
    started.clinic.behave(changes)
    const { location } = (await create('a')).headers
    expect(start === undefined ? location : location?.startsWith(start)).toBe(
      start === undefined ? undefined : true,
    )
  })

  it('tells the place in Content-Location, and nothing in the body or ETag', async () => {
    started.clinic.behave({ location: 'content-location', writtenBody: 'never', etag: false })
    const { headers, body } = await create('a')
    expect([headers.location, headers.etag, body]).toEqual([undefined, undefined, ''])
    expect(headers['content-location']).toMatch(/\/Observation\/.+\/_history\/1$/)
  })

  it('writes the status of an entry with words, or digits, alone', async () => {
    started.clinic.behave({ entryStatus: 'words' })
    expect((await post(creating(observation('a'), 'a'))).body).toContain('"status":"Created"')
    started.clinic.behave({ entryStatus: 'digits' })
    expect((await post(creating(observation('a'), 'a'))).body).toContain('"status":"200"')
  })

  it('tells failures as problem+json, text or a page', async () => {
    const failed = async (failure: ClinicBehaviour['failure']) => {
      started.clinic.behave({ failure })
      const { headers, resource } = await client.send('GET', 'Observation/none')
      return [headers['content-type'], resource?.resourceType]
    }
    expect(await failed('problem-json')).toEqual(['application/problem+json', 'OperationOutcome'])
    expect(await failed('text')).toEqual(['text/plain', undefined])
    expect(await failed('page')).toEqual(['text/html', undefined])
  })

  it.each<[ClinicBehaviour['condition'], readonly number[]]>([
    ['plain', [201, 400, 400]],
    ['marked', [400, 201, 400]],
    ['typed', [400, 400, 201]],
    ['any', [201, 201, 201]],
  ])('takes a condition that is %s', async (condition, statuses) => {
    started.clinic.behave({ condition })
    const forms = [conditionOf('a'), `?${conditionOf('b')}`, `Observation?${conditionOf('c')}`]
    const answers = await Promise.all(
      forms.map((form, at) =>
        client.send('POST', 'Observation', observation('abc'.charAt(at)), { 'if-none-exist': form }),
      ),
    )
    expect(answers.map(({ status }) => status)).toEqual(statuses)
  })

  it('passes conditions over in a transaction, and holds to them singly', async () => {
    started.clinic.behave({ conditionInTransaction: 'ignored' })
    await createIfNone('a')
    await createIfNone('a')
    await post(creating(observation('a'), 'a'))
    expect(started.clinic.ledger.timesCreated('a')).toBe(2)
  })

  it.each([400, 412, 501] as const)('refuses conditions it does not support with %i', async (status) => {
    started.clinic.behave({ conditionalCreate: false, unsupportedCondition: status })
    expect((await createIfNone('a')).status).toBe(status)
    expect((await create('a')).status).toBe(201)
  })

  it('fails on a unique index of its own instead of matching', async () => {
    started.clinic.behave({ oneMatch: 500 })
    expect([(await createIfNone('a')).status, (await createIfNone('a')).status]).toEqual([201, 500])
  })

  it('takes the first of several in silence', async () => {
    await create('a')
    await create('a')
    started.clinic.behave({ severalMatches: 'first-taken' })
    expect((await createIfNone('a')).status).toBe(200)
  })

  it('drops the second of two updates under one condition in silence', async () => {
    started.clinic.behave({ sameConditionTwice: 'one-dropped' })
    const putting = (status: string) => ({
      resource: observation('a', { status }),
      request: { method: 'PUT', url: `Observation?${conditionOf('a')}` },
    })
    expect((await post(putting('final'), putting('amended'))).status).toBe(200)
    expect(
      started.clinic.holding('a').map((versions) => versions.map(({ resource }) => resource?.status)),
    ).toEqual([['final']])
  })

  it('ignores If-Match, or demands it, or says 409 as STU3 did', async () => {
    const id = String((await create('a')).resource?.id)
    const put = async (headers: Record<string, string>) =>
      (await client.send('PUT', `Observation/${id}`, observation('a', { id }), headers)).status
    started.clinic.behave({ staleStatus: 409 })
    expect(await put({ 'if-match': 'W/"9"' })).toBe(409)
    started.clinic.behave({ ifMatch: 'ignored' })
    expect(await put({ 'if-match': 'W/"9"' })).toBe(200)
    started.clinic.behave({ ifMatch: 'required' })
    expect(await put({})).toBe(400)
  })

  it('finds by the value of an identifier alone', async () => {
    await create('a')
    const found = async (system: string) =>
      (await client.send('GET', `Observation?identifier=${system}|a`)).resource?.total
    expect(await found('urn:of-nobody')).toBe(0)
    started.clinic.behave({ searchFilter: 'by-value-alone' })
    expect(await found('urn:of-nobody')).toBe(1)
  })

  it.each([
    ['kept', /^Patient\?identifier=urn:mrn\|second$/],
    ['first-of-type', /^Patient\/(?!second)/],
    ['by-value-alone', /^Patient\/second$/],
  ] as const)(
    'resolves a conditional reference in name only: %s',
    async (conditionalReference, reference) => {
      const identifier = [{ system: 'urn:of-nobody', value: 'second' }]
      await client.send('PUT', 'Patient/second', { resourceType: 'Patient', id: 'second', identifier })
      started.clinic.behave({ conditionalReference })
      const subject = { reference: 'Patient?identifier=urn:mrn|second' }
      expect((await post(creating(observation('a', { subject }), 'a'))).status).toBe(200)
      const [[written] = []] = started.clinic.holding('a')
      expect(written?.resource).toMatchObject({ subject: { reference: expect.stringMatching(reference) } })
    },
  )

  it('ignores what is searched for, or finds what was written only later', async () => {
    await create('a')
    const found = async () => (await client.send('GET', 'Observation?identifier=nobody')).resource?.total
    started.clinic.behave({ searchFilter: 'ignored' })
    expect(await found()).toBe(1)
    started.clinic.behave({ searchLagMs: 60_000 })
    expect(await found()).toBe(0)
    expect((await createIfNone('a')).status).toBe(200)
    started.clinic.behave({ conditionLagMs: 60_000 })
    expect((await createIfNone('a')).status).toBe(201)
  })

  it('takes no more than it wants to: entries, octets, profiles, codes', async () => {
    started.clinic.behave({ mostEntries: 1 })
    expect((await post(creating(observation('a'), 'a'), creating(observation('b'), 'b'))).status).toBe(413)
    started.clinic.behave({ mostOctets: 100 })
    expect((await create('a')).status).toBe(413)
    started.clinic.behave({ mostOctets: 10_000, profileRequired: 'https://profile.example' })
    expect((await create('a')).status).toBe(422)
    started.clinic.behave({ profileRequired: undefined, codeRefused: '85354-9' })
    expect((await create('a')).status).toBe(422)
    expect(started.clinic.ledger.timesCreated('a')).toBe(0)
  })
})
