import { afterEach, beforeEach, describe, expect, it } from 'vitest'
import { type ClinicClient, clinicClient } from './clinic-client.ts'
import { conditionOf, observation, PATIENT } from './hostile-clinic-samples.ts'
import { type StartedClinic, startHostileClinic } from './start-hostile-clinic.ts'

/** What an honest server owes by FHIR R4 4.0.1 http.html and search.html, request by request. */
let started: StartedClinic
let client: ClinicClient
let base: string

beforeEach(async () => {
  started = await startHostileClinic({ patients: [PATIENT] })
  base = started.baseUrl
  client = clinicClient(base)
})
afterEach(() => started.close())

async function created(key: string, more: object = {}): Promise<string> {
  const { resource } = await client.send('POST', 'Observation', observation(key, more))
  return String(resource?.id)
}

describe('a create', () => {
  it('gives 201, a versioned Location, an ETag, and the resource with an id of the server’s', async () => {
    const answer = await client.send('POST', 'Observation', observation('a', { id: 'mine' }))
    const id = answer.resource?.id
    expect(answer.status).toBe(201)
    expect(answer.headers.location).toBe(`${base}/Observation/${id}/_history/1`)
    expect(answer.headers.etag).toBe('W/"1"')
    expect(id).not.toBe('mine')
    expect(answer.resource?.meta).toMatchObject({ versionId: '1' })
  })

  it('answers with nothing in the body when it is asked for as little as can be', async () => {
    const answer = await client.send('POST', 'Observation', observation('a'), { prefer: 'return=minimal' })
    expect([answer.status, answer.body]).toEqual([201, ''])
  })

  it.each([
    ['what is no JSON', '{', {}, 400],
    ['what is no resource', '{"a":1}', {}, 400],
    ['another type than the URL names', { resourceType: 'Device' }, {}, 400],
    ['an Observation without a status', { resourceType: 'Observation', code: {} }, {}, 422],
    ['a reference that leads nowhere', observation('a', { subject: { reference: 'Patient/none' } }), {}, 400],
    ['a urn: outside a transaction', observation('a', { device: { reference: 'urn:uuid:x' } }), {}, 400],
    [
      'a conditional reference outside a transaction',
      observation('a', { subject: { reference: 'Patient?identifier=a|b' } }),
      {},
      400,
    ],
    ['another content type', observation('a'), { 'content-type': 'text/plain' }, 415],
  ])('of %s is refused with an OperationOutcome', async (_, body, headers, status) => {
    const answer = await client.send('POST', 'Observation', body, headers)
    expect([answer.status, answer.resource?.resourceType]).toEqual([status, 'OperationOutcome'])
    expect(started.clinic.ledger.writes).toHaveLength(1)
  })

  it('of a type the server does not know is 404', async () => {
    expect((await client.send('POST', 'Media', { resourceType: 'Media' })).status).toBe(404)
  })
})

describe('a conditional create', () => {
  const create = (key: string) =>
    client.send('POST', 'Observation', observation(key), { 'if-none-exist': conditionOf(key) })

  it('makes the resource once: 201, then 200 with its place', async () => {
    const first = await create('a')
    const second = await create('a')
    expect([first.status, second.status]).toEqual([201, 200])
    expect(second.headers.location).toBe(first.headers.location)
    expect(started.clinic.ledger.timesCreated('a')).toBe(1)
  })

  it('matches what carries the system too, and nothing else', async () => {
    await client.send('POST', 'Observation', {
      ...observation('a'),
      identifier: [{ system: 'https://other.example', value: 'a' }],
    })
    expect((await create('a')).status).toBe(201)
  })

  it('is 412 when several match', async () => {
    await created('a')
    await created('a')
    const answer = await create('a')
    expect(answer.status).toBe(412)
    expect(answer.resource?.issue).toMatchObject([{ code: 'multiple-matches' }])
  })

  it('makes one resource of many that come at the same moment', async () => {
    const answers = await Promise.all(Array.from({ length: 10 }, () => create('a')))
    expect(answers.filter(({ status }) => status === 201)).toHaveLength(1)
    expect(started.clinic.holding('a')).toHaveLength(1)
  })

  it('may not rest on a parameter that is not known', async () => {
    const answer = await client.send('POST', 'Observation', observation('a'), { 'if-none-exist': 'shoe=1' })
    expect(answer.status).toBe(400)
  })
})

describe('an update', () => {
  it('gives the next version, and keeps the one before', async () => {
    const id = await created('a')
    const answer = await client.send('PUT', `Observation/${id}`, observation('a', { id, status: 'amended' }))
    expect([answer.status, answer.headers.etag]).toEqual([200, 'W/"2"'])
    const first = await client.send('GET', `Observation/${id}/_history/1`)
    expect(first.resource?.status).toBe('final')
    const history = await client.send('GET', `Observation/${id}/_history`)
    expect(history.resource).toMatchObject({ type: 'history', total: 2 })
  })

  it('with If-Match is done on that version only: 412 else', async () => {
    const id = await created('a')
    const put = (version: string) =>
      client.send('PUT', `Observation/${id}`, observation('a', { id }), { 'if-match': version })
    expect((await put('W/"1"')).status).toBe(200)
    expect((await put('W/"1"')).status).toBe(412)
    expect((await put('W/"2"')).status).toBe(200)
    expect(started.clinic.kept.versions('Observation', id)).toHaveLength(3)
  })

  it('makes what is not there under the id that is given', async () => {
    const answer = await client.send('PUT', 'Observation/mine', observation('a', { id: 'mine' }))
    expect(answer.status).toBe(201)
    expect((await client.send('GET', 'Observation/mine')).resource?.id).toBe('mine')
  })

  it('is 405 for an id that is not there where ids are the server’s to give', async () => {
    started.clinic.behave({ updateCreate: false })
    expect((await client.send('PUT', 'Observation/mine', observation('a', { id: 'mine' }))).status).toBe(405)
  })

  it('is 400 when the id is another one than the URL’s', async () => {
    const id = await created('a')
    expect((await client.send('PUT', `Observation/${id}`, observation('a', { id: 'b' }))).status).toBe(400)
  })

  it('is 410 for what was deleted', async () => {
    const id = await created('a')
    started.clinic.deleteBehindBack('Observation', id)
    expect((await client.send('GET', `Observation/${id}`)).status).toBe(410)
    expect((await client.send('PUT', `Observation/${id}`, observation('a', { id }))).status).toBe(410)
  })
})

describe('a conditional update', () => {
  const put = (key: string, more: object = {}) =>
    client.send('PUT', `Observation?${encodeURI(conditionOf(key))}`, observation(key, more))

  it('makes what matches nothing, and replaces the one match', async () => {
    expect((await put('a')).status).toBe(201)
    const answer = await put('a', { status: 'amended' })
    expect([answer.status, answer.headers.etag]).toEqual([200, 'W/"2"'])
    expect(started.clinic.holding('a')).toHaveLength(1)
  })

  it('is 412 when several match, and 400 when the id is not that of the match', async () => {
    await created('a')
    expect((await put('a', { id: 'other' })).status).toBe(400)
    await created('a')
    expect((await put('a')).status).toBe(412)
  })
})

describe('a search', () => {
  const linksOf = (resource: object | undefined) =>
    (resource as { link?: { relation: string; url: string }[] })?.link ?? []
  const keysOf = (resource: object | undefined) =>
    ((resource as { entry?: { resource: { identifier: { value: string }[] } }[] })?.entry ?? []).map(
      (entry) => entry.resource.identifier[0]?.value,
    )

  it('finds by identifier, several joined by commas, by GET and by POST alike', async () => {
    await Promise.all(['a', 'b', 'c'].map((key) => created(key)))
    const query = new URLSearchParams({
      identifier: 'https://gateway.example/reading|a,https://gateway.example/reading|c',
    })
    const got = await client.send('GET', `Observation?${query}`)
    const posted = await client.send('POST', 'Observation/_search', query.toString(), {
      'content-type': 'application/x-www-form-urlencoded',
    })
    expect(keysOf(got.resource).toSorted()).toEqual(['a', 'c'])
    expect(posted.resource).toEqual(got.resource)
  })

  it('tells system|value, |value, system| and value apart, and reads escaped commas and bars', async () => {
    await created('a,b|c')
    await client.send('POST', 'Observation', { ...observation('x'), identifier: [{ value: 'bare' }] })
    const find = async (identifier: string) =>
      keysOf((await client.send('GET', `Observation?${new URLSearchParams({ identifier })}`)).resource)
    expect(await find('https://gateway.example/reading|a\\,b\\|c')).toEqual(['a,b|c'])
    expect(await find('https://gateway.example/reading|')).toEqual(['a,b|c'])
    expect(await find('|bare')).toEqual(['bare'])
    expect(await find('bare')).toEqual(['bare'])
    expect(await find('|a\\,b\\|c')).toEqual([])
  })

  it('finds what carries a tag, and the patient by identifier', async () => {
    await created('a', { meta: { tag: [{ system: 'https://gateway.example/provenance', code: 't' }] } })
    const tagged = new URLSearchParams({ _tag: 'https://gateway.example/provenance|t' })
    expect(keysOf((await client.send('GET', `Observation?${tagged}`)).resource)).toEqual(['a'])
    const patient = new URLSearchParams({ identifier: `${PATIENT.system}|${PATIENT.value}` })
    const found = await client.send('POST', 'Patient/_search', patient.toString(), {
      'content-type': 'application/x-www-form-urlencoded',
    })
    expect(found.resource).toMatchObject({ type: 'searchset', total: 1 })
  })

  it('gives pages, each with the way to the next', async () => {
    await Promise.all(['a', 'b', 'c'].map((key) => created(key)))
    started.clinic.behave({ pageSize: 2 })
    const first = await client.send('GET', 'Observation')
    const next = linksOf(first.resource)
      .find(({ relation }) => relation === 'next')
      ?.url.slice(base.length + 1)
    const second = await client.send('GET', String(next))
    expect([...keysOf(first.resource), ...keysOf(second.resource)].toSorted()).toEqual(['a', 'b', 'c'])
    expect(second.resource?.link).toHaveLength(1)
  })

  it('forgets an identifier that an update took away', async () => {
    const id = await created('a')
    await client.send('PUT', `Observation/${id}`, { ...observation('b'), id })
    expect(started.clinic.holding('a')).toEqual([])
    expect(
      (await client.send('GET', `Observation?${new URLSearchParams({ identifier: 'a' })}`)).resource,
    ).toMatchObject({
      total: 0,
    })
  })
})

it('asks for credentials everywhere but at its statement', async () => {
  started.clinic.behave({ admits: (authorization) => (authorization === 'Bearer good' ? undefined : 401) })
  expect((await client.send('GET', 'metadata')).status).toBe(200)
  expect((await client.send('POST', 'Observation', observation('a'))).status).toBe(401)
  const headers = { authorization: 'Bearer good' }
  expect((await client.send('POST', 'Observation', observation('a'), headers)).status).toBe(201)
})
