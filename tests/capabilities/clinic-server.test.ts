/**
 * The demo's clinic server does what R4 asks of a server that takes transactions: FHIR R4 http.html, sections on
 * transaction, conditional create and conditional references.
 */
import { spawn } from 'node:child_process'
import { once } from 'node:events'
import { createInterface } from 'node:readline'
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { validateResource } from '../../src/core/validation/validate-resource.ts'
import { type ClinicServer, startClinicServer } from '../../src/shell/cli/demo/clinic-server.ts'
import { observationBundle, registeredPatient } from '../support/observation-bundle.ts'

let clinic: ClinicServer

beforeAll(async () => {
  const patients = ['P-1', 'P-2', 'twice', 'twice'].map(registeredPatient)
  clinic = await startClinicServer({ patients })
})
afterAll(() => clinic.close())

async function ask(path: string, body?: unknown, headers: Record<string, string> = {}) {
  const response = await fetch(`${clinic.baseUrl}${path}`, {
    headers: { 'content-type': 'application/fhir+json', ...headers },
    ...(body === undefined
      ? {}
      : { method: 'POST', body: typeof body === 'string' ? body : JSON.stringify(body) }),
  })
  const text = await response.text()
  return { status: response.status, headers: response.headers, body: text === '' ? null : JSON.parse(text) }
}

const statuses = (bundle: { entry: { response: { status: string } }[] }) =>
  bundle.entry.map(({ response }) => response.status)

/** The same bundle with conditional updates in place of conditional creates. */
function asUpdates(bundle: ReturnType<typeof observationBundle>) {
  const entry = bundle.entry.map(({ request, ...rest }) => ({
    ...rest,
    request: { method: 'PUT', url: `Observation?${request?.ifNoneExist}` },
  }))
  return { ...bundle, entry }
}

/** The status of each version of an Observation, the newest first. */
async function versionsOf(id: string): Promise<readonly string[]> {
  const history: { entry: { resource: { status: string } }[] } = (await ask(`/Observation/${id}/_history`))
    .body
  return history.entry.map(({ resource }) => resource.status)
}

describe('a transaction', () => {
  it('makes what is new, finds it again the second time, and rewrites the patient’s reference', async () => {
    const bundle = observationBundle('P-1', ['r-1', 'r-2'])
    const first = await ask('', bundle)
    expect([first.status, statuses(first.body)]).toEqual([200, ['201', '201']])
    const second = await ask('', bundle)
    expect([second.status, statuses(second.body)]).toEqual([200, ['200', '200']])
    expect(await clinic.counts()).toEqual({ Observation: 2, Patient: 4 })

    const found = await ask('/Observation?identifier=urn:example:readings%7Cr-1')
    expect(found.body.total).toBe(1)
    const patients = await ask('/Patient?identifier=urn:example:patients%7CP-1')
    expect(found.body.entry[0].resource.subject.reference).toBe(
      `Patient/${patients.body.entry[0].resource.id}`,
    )
  })

  it('rewrites references between its entries', async () => {
    const bundle = observationBundle('P-2', ['r-3', 'r-4'])
    Object.assign(bundle.entry[1]?.resource ?? {}, { derivedFrom: [{ reference: bundle.entry[0]?.fullUrl }] })
    await ask('', bundle)
    const derived = await ask('/Observation?identifier=urn:example:readings%7Cr-4')
    const source = await ask('/Observation?identifier=urn:example:readings%7Cr-3')
    expect(derived.body.entry[0].resource.derivedFrom).toEqual([
      { reference: `Observation/${source.body.entry[0].resource.id}` },
    ])
  })

  it.each([
    ['matches nobody', 'nobody', 'not-found'],
    ['matches several', 'twice', 'multiple-matches'],
  ])('is refused whole with 412 when the patient’s reference %s', async (_, patient, code) => {
    const before = await clinic.counts()
    const answer = await ask('', observationBundle(patient, ['r-5']))
    expect(answer.status).toBe(412)
    expect(answer.body.resourceType).toBe('OperationOutcome')
    expect(answer.body.issue[0]).toMatchObject({
      code,
      expression: ['Bundle.entry[0].resource.subject.reference'],
    })
    expect(JSON.stringify(answer.body)).not.toContain(`|${patient}`)
    expect(await clinic.counts()).toEqual(before)
  })

  it('is refused whole with 412 when an identifier matches several', async () => {
    const { resource } = observationBundle('P-1', ['r-6']).entry[0] ?? {}
    const loose = { ...resource, subject: { display: 'Test' } }
    await ask('/Observation', loose)
    await ask('/Observation', loose)
    const before = await clinic.counts()
    const answer = await ask('', observationBundle('P-1', ['r-7', 'r-6', 'r-8']))
    expect([answer.status, answer.body.resourceType]).toEqual([412, 'OperationOutcome'])
    expect(await clinic.counts()).toEqual(before)
  })

  it('is refused whole with 422 when one resource breaks R4', async () => {
    const before = await clinic.counts()
    const bundle = observationBundle('P-1', ['r-9', 'r-10'])
    Object.assign(bundle.entry[1]?.resource ?? {}, { status: undefined })
    const answer = await ask('', bundle)
    expect([answer.status, answer.body.resourceType]).toEqual([422, 'OperationOutcome'])
    expect(await clinic.counts()).toEqual(before)
  })

  it.each([
    ['no entry', { resourceType: 'Bundle', type: 'transaction' }],
    ['an entry without request', { resourceType: 'Bundle', type: 'transaction', entry: [{}] }],
    [
      'a reference to no entry',
      observationBundle('P-1', ['r-11'], { derivedFrom: [{ reference: 'urn:uuid:x' }] }),
    ],
  ])('with %s is refused with 400', async (_, bundle) => {
    const answer = await ask('', bundle)
    expect([answer.status, answer.body.resourceType]).toEqual([400, 'OperationOutcome'])
  })

  it('takes many transactions at once without making anything twice', async () => {
    const before = (await clinic.counts()).Observation ?? 0
    const bundle = observationBundle('P-1', ['r-12', 'r-13'])
    const answers = await Promise.all(Array.from({ length: 8 }, () => ask('', bundle)))
    expect(answers.map(({ status }) => status)).toEqual(Array(8).fill(200))
    expect((await clinic.counts()).Observation).toBe(before + 2)
  })

  it('updates by identifier what it holds and makes what it does not, and keeps the history', async () => {
    await ask('', observationBundle('P-1', ['u-1']))
    const bundle = asUpdates(observationBundle('P-1', ['u-1', 'u-2'], { status: 'amended' }))
    Object.assign(bundle.entry[1]?.resource ?? {}, { derivedFrom: [{ reference: bundle.entry[0]?.fullUrl }] })
    const before = (await clinic.counts()).Observation ?? 0
    expect(statuses((await ask('', bundle)).body)).toEqual(['200', '201'])
    expect((await clinic.counts()).Observation).toBe(before + 1)

    const [updated] = (await ask('/Observation?identifier=urn:example:readings%7Cu-1')).body.entry
    expect(updated.resource.status).toBe('amended')
    const made = await ask('/Observation?identifier=urn:example:readings%7Cu-2')
    expect(made.body.entry[0].resource.derivedFrom).toEqual([
      { reference: `Observation/${updated.resource.id}` },
    ])
    expect(await versionsOf(updated.resource.id)).toEqual(['amended', 'final'])

    expect(statuses((await ask('', bundle)).body)).toEqual(['200', '200'])
    expect(await versionsOf(updated.resource.id)).toEqual(['amended', 'final'])
  })

  it('that fails leaves nothing of an update, not even in the history', async () => {
    await ask('', observationBundle('P-1', ['u-3']))
    const [held] = (await ask('/Observation?identifier=urn:example:readings%7Cu-3')).body.entry
    const update = asUpdates(observationBundle('P-1', ['u-3'], { status: 'amended' }))
    const failing = { fullUrl: 'urn:uuid:0', request: { method: 'GET', url: 'Observation/not-there' } }
    const answer = await ask('', { ...update, entry: [...update.entry, failing] })
    expect(answer.status).toBe(404)
    expect((await ask(`/Observation/${held.resource.id}`)).body).toEqual(held.resource)
    expect(await versionsOf(held.resource.id)).toEqual(['final'])
  })

  it('is refused whole with 412 when an update matches several', async () => {
    const { resource } = observationBundle('P-1', ['u-4']).entry[0] ?? {}
    const loose = { ...resource, subject: { display: 'Test' } }
    await ask('/Observation', loose)
    await ask('/Observation', loose)
    const before = await clinic.counts()
    const answer = await ask('', asUpdates(observationBundle('P-1', ['u-5', 'u-4'])))
    expect(answer.status).toBe(412)
    expect(answer.body.issue[0]).toMatchObject({
      code: 'multiple-matches',
      expression: ['Bundle.entry[1].request.url'],
    })
    expect(await clinic.counts()).toEqual(before)
  })

  it('leaves the resources out of the answer when asked to', async () => {
    const answer = await ask('', observationBundle('P-1', ['r-14']), { prefer: 'return=minimal' })
    expect(answer.body.entry[0].resource).toBeUndefined()
    expect(statuses(answer.body)).toEqual(['201'])
  })

  it('takes a fortnight of readings in one go, and again', async () => {
    const readings = Array.from({ length: 90 }, (_, index) => `fortnight-${index}`)
    const bundle = observationBundle('P-2', readings)
    expect(new Set(statuses((await ask('', bundle)).body))).toEqual(new Set(['201']))
    expect(new Set(statuses((await ask('', bundle)).body))).toEqual(new Set(['200']))
  })
})

describe('the clinic server', () => {
  it('says what it can', async () => {
    const { status, body } = await ask('/metadata')
    expect(status).toBe(200)
    expect(body).toMatchObject({ resourceType: 'CapabilityStatement', fhirVersion: '4.0.1' })
    expect(body.rest[0].interaction).toContainEqual({ code: 'transaction' })
    expect(validateResource(body).filter(({ severity }) => severity === 'error')).toEqual([])
  })

  it('tells where a created resource is, and in which version', async () => {
    const { status, headers, body } = await ask('/Patient', { resourceType: 'Patient' })
    expect(status).toBe(201)
    expect(headers.get('location')).toBe(`/fhir/Patient/${body.id}/_history/${body.meta.versionId}`)
    expect(headers.get('etag')).toBe(`W/"${body.meta.versionId}"`)
    const version = await ask(`/Patient/${body.id}/_history/${body.meta.versionId}`)
    expect(version.body).toEqual(body)
  })

  it('tells the version of each resource of a transaction', async () => {
    const { body } = await ask('', observationBundle('P-1', ['v-1']))
    const [{ resource, response }] = body.entry
    expect(response).toMatchObject({
      location: `Observation/${resource.id}/_history/${resource.meta.versionId}`,
      etag: `W/"${resource.meta.versionId}"`,
    })
  })

  it('takes an update of the version that is held, and no other', async () => {
    await ask('', observationBundle('P-1', ['m-1']))
    const [{ resource }] = (await ask('/Observation?identifier=urn:example:readings%7Cm-1')).body.entry
    const update = async (ifMatch: string, status: string) =>
      (
        await fetch(`${clinic.baseUrl}/Observation/${resource.id}`, {
          method: 'PUT',
          headers: { 'content-type': 'application/fhir+json', 'if-match': ifMatch },
          body: JSON.stringify({ ...resource, status }),
        })
      ).status
    expect(await update(`W/"${resource.meta.versionId}"`, 'amended')).toBe(200)
    expect(await update(`W/"${resource.meta.versionId}"`, 'final')).toBe(412)
    expect(await update(`W/"${resource.meta.versionId}"`, 'amended')).toBe(412)
    expect(await versionsOf(resource.id)).toEqual(['amended', 'final'])
  })

  it.each([
    ['one identifier', 'identifier=urn:example:readings%7Cs-1', ['s-1']],
    [
      'any of several identifiers',
      'identifier=urn:example:readings%7Cs-1,urn:example:readings%7Cs-2',
      ['s-1', 's-2'],
    ],
    ['one that nothing carries', 'identifier=urn:example:readings%7Cs-0', []],
    ['a parameter that the type does not have', 'no-such=1', []],
  ])('is searched by %s', async (_, query, found) => {
    await ask('', observationBundle('P-1', ['s-1', 's-2', 's-3']))
    const { body } = await ask(`/Observation?${query}`)
    const values = (body.entry ?? []).map((entry: { resource: { identifier: { value: string }[] } }) =>
      entry.resource.identifier.map(({ value }) => value).join(),
    )
    expect([body.total, values.sort()]).toEqual([found.length, found])
  })

  it('is searched by a form, so that an identifier stands in no address', async () => {
    const response = await fetch(`${clinic.baseUrl}/Patient/_search`, {
      method: 'POST',
      body: new URLSearchParams({ identifier: 'urn:example:patients|P-2' }),
    })
    expect(response.status).toBe(200)
    expect(await response.json()).toMatchObject({ type: 'searchset', total: 1 })
  })

  it.each([
    ['text that is not JSON', '/Observation', '{', {}, 400],
    [
      'another media type',
      '/Observation',
      'a=1',
      { 'content-type': 'application/x-www-form-urlencoded' },
      415,
    ],
    ['an unknown address', '/Observation/nothing-here', undefined, {}, 404],
  ])('answers %s with an OperationOutcome', async (_, path, body, headers, status) => {
    const answer = await ask(path, body, headers)
    expect([answer.status, answer.body.resourceType]).toEqual([status, 'OperationOutcome'])
  })
})

describe('the clinic server as its own process', () => {
  it('knows the sample people, says where it listens, and stops when told', async () => {
    const file = 'src/shell/cli/demo/clinic-server-process.ts'
    const child = spawn(process.execPath, ['--import', 'tsx', file, '--patients', 'samples/people.json'], {
      stdio: ['ignore', 'pipe', 'inherit'],
    })
    try {
      const [line] = await once(createInterface({ input: child.stdout }), 'line')
      const { baseUrl } = JSON.parse(String(line))
      const one = 'identifier=https://lantern-bay.example/patient-number|LB-20417'
      const found = await fetch(`${baseUrl}/Patient?${one}`)
      expect(await found.json()).toMatchObject({ total: 1 })
    } finally {
      child.kill('SIGTERM')
    }
    expect(await once(child, 'exit')).toEqual([0, null])
  })
})
