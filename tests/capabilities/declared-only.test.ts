/** Each route takes the query parameters it is described with, each once, and a body where it is described with one. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { type ApiDescription, operationsOf } from '../support/api-description.ts'
import { type Answer, ask } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'

interface Told {
  readonly code?: string
  readonly issues?: readonly { readonly at: string; readonly expected: string; readonly remedy: string }[]
  readonly issue?: readonly { readonly diagnostics: string }[]
}

function told(answer: Answer): Told {
  return answer.json as Told
}

describe('query parameters', () => {
  let door: OpenDoor
  let api: ApiDescription
  beforeAll(async () => {
    door = await openDoor()
    api = (await ask(door.url, '/openapi.json')).json as ApiDescription
  })
  afterAll(() => door.close())

  it('that a route does not have are refused on every route, with those there are', async () => {
    for (const { method, path, parameters = [] } of operationsOf(api)) {
      const names = parameters.flatMap((one) => (one.in === 'query' ? [one.name] : []))
      const asked = `${path.replaceAll(/\{\w+\}/g, 'x')}?nosuchword=1`
      const answer = await ask(door.url, asked, { method: method.toUpperCase() })
      expect([method, path, answer.status]).toEqual([method, path, 400])
      expect(answer.text).toContain('query.nosuchword')
      expect(answer.text).toContain('UNKNOWN_KEY')
      for (const name of names) expect(answer.text).toContain(name)
    }
  })

  it('are refused on every route when they are given twice', async () => {
    for (const { method, path, parameters = [] } of operationsOf(api)) {
      for (const { name } of parameters.filter((one) => one.in === 'query')) {
        const asked = `${path.replaceAll(/\{\w+\}/g, 'x')}?${name}=a&${name}=a`
        const answer = await ask(door.url, asked, { method: method.toUpperCase() })
        expect([method, path, name, answer.status]).toEqual([method, path, name, 400])
        expect(answer.text).toContain('WRONG_TYPE')
      }
    }
  })

  it('that are misspelt widen no action and no list', async () => {
    const retried = await ask(door.url, '/deliveries/retry?destination=lantern-bay&sate=given-up', {
      method: 'POST',
    })
    expect([retried.status, told(retried).code]).toEqual([400, 'UNKNOWN_KEY'])
    expect(told(retried).issues).toMatchObject([
      {
        at: 'query.sate',
        expected: 'only the parameters state, destination, source, kind, problem, queuedBefore',
        remedy: 'Did you mean “state”? If not, remove the parameter.',
      },
    ])
    for (const path of [
      '/deliveries?stat=given-up',
      '/averages?protocol=nice-ng136-home&firstDay=2026-03-02&lastDay=2020-01-01',
      '/audit?role=operator',
      '/fhir/ValueSet?name=x',
    ]) {
      expect([path, (await ask(door.url, path)).status]).toEqual([path, 400])
    }
  })

  it('are all told at once, and never with their values', async () => {
    const answer = await ask(door.url, '/deliveries?sate=LB-20433&kind=attention&kind=average&%00%1b=1')
    expect(told(answer).issues?.map(({ at }) => at)).toEqual(['query.sate', 'query.kind', 'query["??"]'])
    expect(answer.text).not.toContain('LB-20433')
  })

  it('about the form of a FHIR answer may be asked and passed over, as R4 allows', async () => {
    for (const path of ['/fhir/metadata?mode=full&_summary=true', '/fhir/ValueSet?_pretty=true&_format=json'])
      expect([path, (await ask(door.url, path)).status]).toEqual([path, 200])
  })

  it('do not turn a path or method that is not there into another refusal', async () => {
    expect((await ask(door.url, '/nothing?a=1')).status).toBe(404)
    expect((await ask(door.url, '/audit?a=1', { method: 'DELETE' })).status).toBe(405)
  })
})

describe('a body', () => {
  let door: OpenDoor
  let api: ApiDescription
  beforeAll(async () => {
    door = await openDoor()
    api = (await ask(door.url, '/openapi.json')).json as ApiDescription
  })
  afterAll(() => door.close())

  it('is refused on every route that has none, with where what is meant belongs', async () => {
    const without = operationsOf(api).filter(({ method, requestBody }) => {
      return requestBody === undefined && method !== 'get'
    })
    expect(without.length).toBeGreaterThan(5)
    for (const { method, path, parameters = [] } of without) {
      const asked = path.replaceAll(/\{\w+\}/g, 'x')
      const body = '{"destination":"lantern-bay"}'
      const headers = { 'Content-Length': String(body.length) }
      const sent = { method: method.toUpperCase(), headers, body }
      const answer = await ask(door.url, asked, sent)
      expect([method, path, answer.status]).toEqual([method, path, 400])
      expect(told(answer).issues).toMatchObject([{ at: 'body', expected: 'no body' }])
      for (const { name } of parameters.filter((one) => one.in === 'query'))
        expect(answer.text).toContain(name)
    }
  })

  it('narrows no action without a word', async () => {
    const answer = await ask(door.url, '/deliveries/retry?state=given-up', {
      method: 'POST',
      body: '{"destination":"lantern-bay"}',
    })
    expect(told(answer).issues).toMatchObject([
      {
        at: 'body',
        remedy:
          'Send the request without a body, and what is meant as parameters: ' +
          'state, destination, source, kind, problem, queuedBefore.',
      },
    ])
  })

  it('without a byte is none, and a route that takes one is not held to this', async () => {
    const retried = await ask(door.url, '/deliveries/retry?state=given-up', { method: 'POST', body: '' })
    expect(retried.status).toBe(200)
    const source = await ask(door.url, '/sources', { method: 'POST', body: '{' })
    expect(source.text).not.toContain('no body')
  })
})
