import { describe, expect, it } from 'vitest'
import { averageSent, correctedSent, firstOf, sessionSent } from '../../../../tests/support/sent-resources.ts'
import { errorsIn } from '../../validation/validate-resource.ts'
import {
  asReplacement,
  conditionalCreate,
  OBSERVATION_REPLACES,
  plainCreate,
  putUnderOwnId,
  replacementUuid,
  versionedUpdate,
} from './write-request.ts'

const session = sessionSent()
const observation = firstOf(session, 'Observation')
const provenance = firstOf(session, 'Provenance')
const place = { type: 'Observation', id: 'o-1', version: '3' }

const written = ({ body = '' }: { readonly body?: string }) => JSON.parse(body)

describe('a create', () => {
  it('is conditional on our identifier, or on our tag where a type has no identifier', () => {
    expect(conditionalCreate(observation)).toMatchObject({
      method: 'POST',
      path: 'Observation',
      ifNoneExist: `identifier=${observation.key.system}|${observation.uuid}`,
      prefer: 'minimal',
    })
    expect(conditionalCreate(provenance).ifNoneExist).toBe(`_tag=${provenance.key.system}|${provenance.uuid}`)
  })

  it('carries the resource and no id, and no condition when it is plain', () => {
    expect(written(plainCreate(observation))).toEqual(JSON.parse(JSON.stringify(observation.resource)))
    expect(plainCreate(observation)).not.toHaveProperty('ifNoneExist')
  })
})

describe('a put under our own id', () => {
  it('names the id in the path and in the resource, and changes nothing else', () => {
    const request = putUnderOwnId(observation)
    expect(request).toMatchObject({ method: 'PUT', path: `Observation/${observation.uuid}` })
    const { id, ...rest } = written(request)
    expect(id).toBe(observation.uuid)
    expect(rest).toEqual(JSON.parse(JSON.stringify(observation.resource)))
  })
})

describe('a versioned update', () => {
  it('goes to the server’s id and asks for the version', () => {
    expect(versionedUpdate(observation, place, {})).toMatchObject({
      method: 'PUT',
      path: 'Observation/o-1',
      ifMatch: '3',
    })
    expect(written(versionedUpdate(observation, place, {})).id).toBe('o-1')
  })

  it('asks for the version that was read where the place has none, and for none that is not known', () => {
    const unversioned = { type: 'Observation', id: 'o-1' }
    const current = { resourceType: 'Observation', id: 'o-1', meta: { versionId: '8' } }
    expect(versionedUpdate(observation, unversioned, current).ifMatch).toBe('8')
    expect(versionedUpdate(observation, unversioned, null)).not.toHaveProperty('ifMatch')
  })

  it('keeps what the clinic added to identify, tag and protect, after ours and once', () => {
    const theirs = { system: 'https://clinic.example/accession', value: 'A-7' }
    const label = { system: 'http://terminology.hl7.org/CodeSystem/v3-Confidentiality', code: 'R' }
    const tag = { system: 'https://clinic.example/workflow', code: 'seen' }
    const current = {
      ...observation.resource,
      id: 'o-1',
      identifier: [theirs, { system: observation.key.system, value: observation.uuid }],
      meta: { versionId: '3', lastUpdated: '2026-01-01T00:00:00Z', security: [label], tag: [tag] },
      note: [{ text: 'not ours' }],
    }
    const body = written(versionedUpdate(observation, place, current))
    expect(body.identifier).toEqual([{ system: observation.key.system, value: observation.uuid }, theirs])
    const { security = [], tag: tags = [] } = observation.resource.meta ?? {}
    expect(body.meta).toMatchObject({ security: [...security, label], tag: [...tags, tag] })
    expect(body.meta).not.toHaveProperty('versionId')
    const { id: _, meta: __, identifier: ___, ...rest } = body
    const { meta: ____, identifier: _____, ...ours } = JSON.parse(JSON.stringify(observation.resource))
    expect(rest).toEqual(ours)
  })

  it.each([
    [undefined],
    [null],
    ['text'],
    [[]],
    [{ identifier: 'x', meta: 7 }],
    [{ meta: { tag: [null, 1] } }],
  ])('takes nothing over from %j', (current) => {
    const { id, ...rest } = written(versionedUpdate(observation, place, current))
    expect(id).toBe('o-1')
    expect(rest).toEqual(JSON.parse(JSON.stringify(observation.resource)))
  })
})

describe('an amended Observation sent as a new one', () => {
  const amended = firstOf(correctedSent(), 'Observation')
  const replacement = asReplacement(amended, place, 'the-revision')

  it('has an identifier of its own, the same each time, and another for another revision', () => {
    expect(replacement.uuid).toBe(replacementUuid(amended.uuid, 'the-revision'))
    expect(replacement.uuid).not.toBe(asReplacement(amended, place, 'the-next').uuid)
    expect(replacement).toMatchObject({
      intent: 'create',
      key: { parameter: 'identifier', system: amended.key.system, value: replacement.uuid },
      resource: { identifier: [{ system: amended.key.system, value: replacement.uuid }] },
    })
    expect(conditionalCreate(replacement).ifNoneExist).toContain(replacement.uuid)
  })

  it('says which one it replaces, by its place or by its identifier', () => {
    expect(replacement.resource).toMatchObject({
      extension: expect.arrayContaining([
        { url: OBSERVATION_REPLACES, valueReference: { reference: 'Observation/o-1' } },
      ]),
    })
    expect(asReplacement(amended, undefined, 'r').resource).toMatchObject({
      extension: expect.arrayContaining([
        {
          url: OBSERVATION_REPLACES,
          valueReference: {
            type: 'Observation',
            identifier: { system: amended.key.system, value: amended.uuid },
          },
        },
      ]),
    })
  })

  it('says that it replaces an earlier replacement, by its own identifier', () => {
    const before = { ...amended.key, value: 'the-one-before' }
    expect(asReplacement(amended, undefined, 'r', before).resource).toMatchObject({
      identifier: [{ value: replacementUuid(amended.uuid, 'r') }],
      extension: expect.arrayContaining([
        {
          url: OBSERVATION_REPLACES,
          valueReference: {
            type: 'Observation',
            identifier: { system: amended.key.system, value: 'the-one-before' },
          },
        },
      ]),
    })
  })

  it('changes no measured value and stays amended', () => {
    const {
      identifier: _,
      extension: __,
      ...rest
    } = replacement.resource as unknown as Record<string, unknown>
    const {
      identifier: ___,
      extension: ____,
      ...before
    } = amended.resource as unknown as Record<string, unknown>
    expect(rest).toEqual(before)
    expect(rest).toMatchObject({ status: 'amended' })
  })

  it('is valid, and throws for what nothing new can stand for', () => {
    expect(errorsIn(replacement.resource).filter(({ code }) => code !== 'REFERENCE')).toEqual([])
    const withdrawn = { ...amended, resource: { ...amended.resource, status: 'entered-in-error' } }
    expect(() => asReplacement(withdrawn as typeof amended, place, 'r')).toThrow(TypeError)
    expect(() => asReplacement(firstOf(averageSent(), 'Provenance'), place, 'r')).toThrow(TypeError)
  })
})
