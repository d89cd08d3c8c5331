import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { SPOKEN_TYPES } from '../../src/core/validation/spoken-types.ts'
import { type Answer, ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { secondOpinion } from '../support/second-opinion.ts'

const PATIENT = { resourceType: 'Patient', id: 'p-1', active: true }

describe('the FHIR endpoint', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor()
  })
  afterAll(() => door.close())

  const validate = (path: string, body: unknown, type = 'application/fhir+json'): Promise<Answer> =>
    ask(door.url, path, { method: 'POST', headers: { 'Content-Type': type }, body: JSON.stringify(body) })

  function severities(answer: Answer): readonly string[] {
    const { issue } = answer.json as { issue: { severity: string }[] }
    return issue.map((one) => one.severity)
  }

  it('states its capabilities in a resource that a general validator accepts', async () => {
    const answer = await ask(door.url, '/fhir/metadata', {
      headers: { Accept: 'application/fhir+json;fhirVersion=4.0' },
    })
    expect(answer.status).toBe(200)
    expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
    expect(answer.json).toMatchObject({
      resourceType: 'CapabilityStatement',
      fhirVersion: '4.0.1',
      kind: 'instance',
    })
    expect(secondOpinion(answer.json)).toEqual([])
  })

  it('offers in fact what it states', async () => {
    const { json } = await ask(door.url, '/fhir/metadata')
    const { rest } = json as { rest: { resource: { type: string; operation?: { name: string }[] }[] }[] }
    const validated = rest[0]?.resource.filter(({ operation }) => operation !== undefined)
    expect(validated?.map((one) => one.type)).toEqual(expect.arrayContaining([...SPOKEN_TYPES]))
    for (const { type, operation } of validated ?? []) {
      for (const { name } of operation ?? []) {
        const answer = await validate(`/fhir/${type}/$${name}`, { resourceType: type })
        expect([type, answer.status]).toEqual([type, 200])
      }
    }
  })

  it.each(['/fhir/$validate', '/fhir/Patient/$validate'])('%s accepts a valid resource', async (path) => {
    const answer = await validate(path, PATIENT)
    expect(answer.status).toBe(200)
    expect(severities(answer)).not.toContain('error')
    expect(secondOpinion(answer.json)).toEqual([])
  })

  it('answers 200 with the errors of an invalid resource', async () => {
    const answer = await validate('/fhir/$validate', { ...PATIENT, active: 'yes' })
    expect(answer.status).toBe(200)
    expect(severities(answer)).toContain('error')
    expect(answer.text).toContain('Patient.active')
    expect(secondOpinion(answer.json)).toEqual([])
  })

  it('takes the resource from Parameters, and plain JSON as the content type', async () => {
    const parameters = {
      resourceType: 'Parameters',
      parameter: [
        { name: 'mode', valueCode: 'create' },
        { name: 'resource', resource: { ...PATIENT, active: 'yes' } },
      ],
    }
    const answer = await validate('/fhir/Patient/$validate', parameters, 'application/json')
    expect(severities(answer)).toContain('error')
  })

  it('says so when the resource is of another type than the path', async () => {
    const answer = await validate('/fhir/Observation/$validate', PATIENT)
    expect(answer.status).toBe(200)
    expect(severities(answer)).toContain('error')
    expect(answer.text).toContain('resourceType')
  })

  it.each([['a profile that is not loaded', { name: 'profile', valueUri: 'https://clinic.example/none' }]])(
    'refuses %s in Parameters',
    async (_what, parameter) => {
      const body = {
        resourceType: 'Parameters',
        parameter: [parameter, { name: 'resource', resource: PATIENT }],
      }
      const answer = await validate('/fhir/$validate', body)
      expect(answer.status).toBe(422)
      expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
    },
  )

  it.each([
    ['/fhir', 404, {}],
    ['/fhir/', 404, {}],
    ['/fhir/metadata?nothing=1', 400, {}],
    ['/fhir/metadata', 405, { method: 'PUT' }],
  ])('%s refuses with %i in an OperationOutcome', async (path, status, options) => {
    const answer = await ask(door.url, path, options)
    expect(answer.status).toBe(status)
    expect(answer.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
    expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
  })

  // R4 http.html: all URLs are case sensitive; RFC 3986 section 6.2.2.1.
  it.each([
    '/FHIR/metadata',
    '/fhir/Metadata',
    '/fhir/patient/$validate',
    '/Protocols',
    '/Protocols?nothing=1',
  ])('is not at %s, which is another path', async (path) => {
    const post = { method: 'POST', headers: { 'Content-Type': 'application/json' }, body: '{}' }
    const answer = await ask(door.url, path, path.endsWith('$validate') ? post : {})
    expect(answer.status).toBe(404)
    const mediaType = path.startsWith('/fhir/') ? 'application/fhir+json' : 'application/problem+json'
    expect(answer.headers['content-type']).toBe(`${mediaType}; charset=utf-8`)
  })
})
