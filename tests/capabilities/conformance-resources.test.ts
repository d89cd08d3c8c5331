/** Our own conformance resources over HTTP, under the canonical base of a deployment. */
import { afterAll, beforeAll, describe, expect, it } from 'vitest'
import { DEFAULT_CANONICAL_BASE } from '../../src/core/fhir/canonical-base.ts'
import { CONFORMANCE_TYPES } from '../../src/shell/http/routes/capability-statement.ts'
import { type Answer, ask, postJson } from '../support/ask.ts'
import { type OpenDoor, openDoor } from '../support/open-door.ts'
import { secondOpinion } from '../support/second-opinion.ts'
import { profileFiles, profileJson } from '../support/shipped-profiles.ts'

const BASE = 'https://gateway.clinic.example/r4'
const FOLDER: Readonly<Record<(typeof CONFORMANCE_TYPES)[number], string>> = {
  CapabilityStatement: 'capability-statements',
  CodeSystem: 'code-systems',
  StructureDefinition: 'structure-definitions',
  ValueSet: 'value-sets',
}

interface Searchset {
  readonly total: number
  readonly entry?: readonly { readonly fullUrl: string; readonly resource: { readonly id: string } }[]
}

describe('our conformance resources', () => {
  let door: OpenDoor
  beforeAll(async () => {
    door = await openDoor({ settings: { canonicalBase: BASE } })
  })
  afterAll(() => door.close())

  const found = async (path: string): Promise<Searchset> => (await ask(door.url, path)).json as Searchset

  it.each(CONFORMANCE_TYPES)(
    'of type %s are listed and read, each as its file under the base',
    async (type) => {
      const list = await found(`/fhir/${type}`)
      const ids = profileFiles(FOLDER[type]).map((file) => file.replace('.json', ''))
      expect(list.entry?.map(({ resource }) => resource.id)).toEqual(ids)
      expect(list.total).toBe(ids.length)
      expect(secondOpinion(list)).toEqual([])
      for (const { fullUrl, resource } of list.entry ?? []) {
        expect(fullUrl).toBe(`${BASE}/${type}/${resource.id}`)
        const one = await ask(door.url, `/fhir/${type}/${resource.id}`)
        expect(one.headers['content-type']).toBe('application/fhir+json; charset=utf-8')
        expect(one.json).toEqual(resource)
        expect(one.text).not.toContain(DEFAULT_CANONICAL_BASE)
        const file = JSON.stringify(profileJson(`${FOLDER[type]}/${resource.id}.json`))
        expect(one.json).toEqual(JSON.parse(file.replaceAll(DEFAULT_CANONICAL_BASE, BASE)))
      }
    },
  )

  it('are found by their canonical URL, and others are not', async () => {
    const url = `${BASE}/StructureDefinition/period-average`
    const one = await found(`/fhir/StructureDefinition?url=${encodeURIComponent(url)}`)
    expect(one.entry?.map(({ fullUrl }) => fullUrl)).toEqual([url])
    const none = await ask(door.url, `/fhir/ValueSet?url=${encodeURIComponent(url)}`)
    expect(none.json).toMatchObject({ resourceType: 'Bundle', type: 'searchset', total: 0 })
    expect(none.json).not.toHaveProperty('entry')
    expect(secondOpinion(none.json)).toEqual([])
  })

  it('answer an id that is not there, a second URL and another method with an OperationOutcome', async () => {
    const answers: readonly (readonly [number, Answer])[] = [
      [404, await ask(door.url, '/fhir/ValueSet/nothing')],
      [400, await ask(door.url, '/fhir/ValueSet?url=a&url=b')],
      [405, await postJson(door.url, '/fhir/ValueSet', {})],
      [406, await ask(door.url, '/fhir/ValueSet/arms', { headers: { Accept: 'application/fhir+xml' } })],
    ]
    for (const [status, answer] of answers) {
      expect(answer.status).toBe(status)
      expect(answer.json).toMatchObject({ resourceType: 'OperationOutcome' })
    }
  })

  it('are what the capability statement says can be read and searched', async () => {
    const { json } = await ask(door.url, '/fhir/metadata')
    const { rest, instantiates } = json as {
      instantiates: readonly string[]
      rest: readonly { resource: readonly { type: string; interaction?: readonly { code: string }[] }[] }[]
    }
    const readable = rest[0]?.resource.filter(({ interaction }) => interaction !== undefined)
    expect(readable?.map(({ type }) => type).toSorted()).toEqual([...CONFORMANCE_TYPES])
    for (const { interaction } of readable ?? []) {
      expect(interaction?.map(({ code }) => code)).toEqual(['read', 'search-type'])
    }
    for (const url of instantiates) {
      expect((await found(`/fhir/CapabilityStatement?url=${encodeURIComponent(url)}`)).total).toBe(1)
    }
  })

  it('and the statement are valid by the gateway’s own $validate, under that base', async () => {
    const paths = ['/fhir/metadata', ...CONFORMANCE_TYPES.map((type) => `/fhir/${type}`)]
    for (const path of paths) {
      const { text } = await ask(door.url, path)
      const headers = { 'Content-Type': 'application/fhir+json' }
      const outcome = await ask(door.url, '/fhir/$validate', { method: 'POST', headers, body: text })
      const { issue } = outcome.json as { issue: readonly { severity: string; expression?: string[] }[] }
      const errors = issue.filter(({ severity }) => severity === 'error' || severity === 'fatal')
      expect([path, outcome.status, errors]).toEqual([path, 200, []])
    }
  })

  it('define the profiles of ours that the capability statement names', async () => {
    const { json } = await ask(door.url, '/fhir/metadata')
    const { rest } = json as {
      rest: readonly { resource: readonly { supportedProfile?: readonly string[] }[] }[]
    }
    const ours = (rest[0]?.resource ?? [])
      .flatMap(({ supportedProfile = [] }) => supportedProfile)
      .filter((url) => url.startsWith(BASE))
    expect(ours).toHaveLength(9)
    for (const url of ours) {
      expect((await found(`/fhir/StructureDefinition?url=${encodeURIComponent(url)}`)).total).toBe(1)
    }
  })
})
