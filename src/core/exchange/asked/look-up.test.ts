import fc from 'fast-check'
import { describe, expect, it } from 'vitest'
import { heard, outcome, searchset } from '../../../../tests/support/heard.ts'
import { averageSent, firstOf, sessionSent } from '../../../../tests/support/sent-resources.ts'
import { readAnswerBody } from '../answered/answer-body.ts'
import type { SentResource } from '../sent-resource.ts'
import { KEYS_PER_SEARCH, lookUpRequests, readLookUp } from './look-up.ts'

const session = sessionSent()
const observations = session.filter(({ type }) => type === 'Observation')
const [first, second] = observations
if (first === undefined || second === undefined) throw new Error('the session has no two Observations')
const asked = [first, second]

/** A resource of ours as the server holds it. */
function held({ type, resource }: SentResource, id: string, version = '1') {
  return { ...resource, resourceType: type, id, meta: { ...resource.meta, versionId: version } }
}

const unreliable = { kind: 'cannot-look', problem: 'CLINIC_SEARCH_UNRELIABLE' }

describe('lookUpRequests', () => {
  it('asks for several of one type in one search, and for another type in another', () => {
    const requests = lookUpRequests(session)
    expect(requests.map(({ request }) => request.path.split('=')[0])).toEqual([
      'Device?identifier',
      'Observation?identifier',
      'Provenance?_tag',
    ])
    for (const { request } of requests) expect(request.method).toBe('GET')
  })

  it('joins the keys by commas and percent-encodes each', () => {
    const [search] = lookUpRequests(asked)
    const query = new URLSearchParams(search?.request.path.split('?')[1])
    expect(query.get('identifier')).toBe(asked.map(({ key }) => `${key.system}|${key.value}`).join(','))
    expect(search?.request.path).not.toContain('|')
  })

  it('asks for each resource once, and for no more at a time than an address has room for', () => {
    const average = averageSent()
    const requests = lookUpRequests(average)
    expect(requests.flatMap((one) => one.asked.map(({ uuid }) => uuid)).toSorted()).toEqual(
      average.map(({ uuid }) => uuid).toSorted(),
    )
    for (const { request, asked: some } of requests) {
      expect(some.length).toBeLessThanOrEqual(KEYS_PER_SEARCH)
      expect(request.path.length).toBeLessThan(6000)
    }
  })
})

describe('readLookUp', () => {
  it('tells where each is, and which are not there', () => {
    const looked = readLookUp(heard(200, searchset([held(first, 'o-1', '3')])), asked)
    if (looked.kind !== 'found') throw new Error(looked.kind)
    expect(looked.matches.get(first.uuid)).toMatchObject([
      { place: { type: 'Observation', id: 'o-1', version: '3' }, resource: { status: 'final' } },
    ])
    expect(looked.matches.get(second.uuid)).toEqual([])
  })

  it('tells of several under one key, and of one that is listed twice as of one', () => {
    const answer = heard(200, searchset([held(first, 'o-1'), held(first, 'o-2'), held(first, 'o-1')]))
    const looked = readLookUp(answer, [first])
    if (looked.kind !== 'found') throw new Error(looked.kind)
    expect(looked.matches.get(first.uuid)?.map(({ place }) => place.id)).toEqual(['o-1', 'o-2'])
  })

  it('finds a Provenance by its tag', () => {
    const provenance = firstOf(session, 'Provenance')
    const looked = readLookUp(heard(200, searchset([held(provenance, 'p-1')])), [provenance])
    expect(looked).toMatchObject({ kind: 'found' })
    const untagged = {
      ...held(provenance, 'p-1'),
      meta: { tag: [{ system: 'urn:x', code: provenance.uuid }] },
    }
    expect(readLookUp(heard(200, searchset([untagged])), [provenance])).toEqual(unreliable)
  })

  it.each([
    [
      'one that carries another identifier',
      { ...held(first, 'o-9'), identifier: [{ system: 'urn:x', value: first.uuid }] },
    ],
    ['one of another type', { ...held(first, 'o-9'), resourceType: 'Device' }],
    ['one whose id cannot be', held(first, '../Patient/1')],
    ['one without an id', first.resource],
  ])('does not believe an answer with %s, unless all was found', (_, stray) => {
    expect(readLookUp(heard(200, searchset([held(first, 'o-1'), stray])), asked)).toEqual(unreliable)
    const all = searchset([held(first, 'o-1'), stray, held(second, 'o-2')])
    expect(readLookUp(heard(200, all), asked).kind).toBe('found')
  })

  it.each([
    ['a next page', { link: [{ relation: 'next', url: 'https://records.example/fhir?page=2' }] }],
    ['a greater total', { total: 9 }],
    [
      'an outcome of the search that is a failure',
      { entry: [{ resource: outcome('timeout'), search: { mode: 'outcome' } }] },
    ],
    [
      'a warning that the search was not supported',
      {
        entry: [
          {
            resource: {
              resourceType: 'OperationOutcome',
              issue: [{ severity: 'warning', code: 'not-supported' }],
            },
          },
        ],
      },
    ],
  ])('does not take an answer with %s for all there is', (_, more) => {
    expect(readLookUp(heard(200, searchset([], more)), asked)).toEqual(unreliable)
  })

  it('leaves out what was included beside the matches, and a harmless hint', () => {
    const hint = {
      resourceType: 'OperationOutcome',
      issue: [{ severity: 'information', code: 'informational' }],
    }
    const answer = heard(200, {
      resourceType: 'Bundle',
      type: 'searchset',
      entry: [
        { resource: { resourceType: 'Patient', id: 'x' }, search: { mode: 'include' } },
        { resource: hint, search: { mode: 'outcome' } },
      ],
    })
    expect(readLookUp(answer, asked).kind).toBe('found')
  })

  it.each([
    [400, unreliable],
    [401, { kind: 'stop', problem: 'CLINIC_LOGIN' }],
    [403, { kind: 'cannot-look', problem: 'CLINIC_FORBIDS' }],
    [404, unreliable],
    [405, unreliable],
    [414, unreliable],
    [429, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
    [500, { kind: 'not-now', problem: 'CLINIC_FAILED' }],
    [501, unreliable],
    [503, { kind: 'not-now', problem: 'CLINIC_BUSY' }],
  ])('reads status %i as %j', (status, looked) => {
    expect(readLookUp(heard(status, outcome('processing')), asked)).toEqual(looked)
  })

  it('waits after a page, a broken connection and a request that never left', () => {
    expect(readLookUp(heard(200, '<html></html>'), asked)).toEqual({
      kind: 'not-now',
      problem: 'CLINIC_ANSWER_UNREADABLE',
    })
    const silent = [
      { kind: 'unheard', problem: 'CLINIC_UNREACHABLE' },
      { kind: 'unsent', problem: 'CLINIC_UNREACHABLE' },
    ] as const
    for (const answer of silent) {
      expect(readLookUp(answer, asked)).toEqual({ kind: 'not-now', problem: 'CLINIC_UNREACHABLE' })
    }
  })

  it('does not take another resource for an answer, nor for a word that searches are not offered', () => {
    const odd = { kind: 'not-now', problem: 'CLINIC_ANSWER_UNREADABLE' }
    expect(readLookUp(heard(200, { resourceType: 'Observation' }), asked)).toEqual(odd)
    expect(readLookUp(heard(200, outcome('invalid')), asked)).toEqual(odd)
  })

  it('never throws, and never finds anything, in a searchset of whatever JSON', () => {
    fc.assert(
      fc.property(fc.array(fc.jsonValue()), (entries) => {
        const text = JSON.stringify({
          resourceType: 'Bundle',
          type: 'searchset',
          entry: entries.map((resource) => ({ resource })),
        })
        const body = readAnswerBody(text, 'https://records.example/fhir')
        const looked = readLookUp({ kind: 'heard', status: 200, body, said: {} }, asked)
        if (looked.kind === 'found') expect([...looked.matches.values()].flat()).toEqual([])
      }),
      { numRuns: 200 },
    )
  })
})
