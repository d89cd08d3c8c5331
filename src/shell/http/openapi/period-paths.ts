import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, PAGE, type Paths } from './path-parts.ts'
import { ref } from './schemas.ts'

const ROLES = ['read', 'operate']

/** Periods, the averages issued for them, and averages of everyone. */
export function periodPaths(): Paths {
  return { ...openingPaths(), ...averagePaths(), ...sweepPaths() }
}

function openingPaths(): Paths {
  const period = { type: 'object' }
  return {
    '/periods': {
      get: operation('/periods', {
        summary: 'List periods',
        roles: ROLES,
        query: PAGE,
        answers: { 200: answer('A page of periods', ref('Page')) },
        refusals: [400],
      }),
      post: operation('/periods', {
        summary: 'Open a period; the same again is the same period',
        description:
          'Under a protocol, or under a rule for 24-hour recordings. Without one, the destination’s own.',
        roles: ['operate'],
        body: json('PeriodRequest'),
        answers: { 200: answer('Open already', period), 201: answer('Opened', period) },
        refusals: BODY_REFUSALS,
      }),
    },
    '/periods/{id}': {
      get: operation('/periods/{id}', {
        summary: 'One period',
        roles: ROLES,
        answers: { 200: answer('The period', period) },
        refusals: [404],
      }),
    },
    '/periods/{id}/close': {
      post: operation('/periods/{id}/close', {
        summary: 'Close a period now: average it and queue the average for the clinic',
        description:
          'A period that opened again, because a session came late, was corrected or was withdrawn, gets an amended ' +
          'average; none when nothing of substance changed, and issuedNow is then false.',
        roles: ['operate'],
        answers: { 200: answer('The closed period', period) },
        refusals: [404, 422],
      }),
    },
  }
}

function averagePaths(): Paths {
  const bundle = answer('The bundle', ref('FhirResource'), 'application/fhir+json')
  const read = (path: string, summary: string, answered: Readonly<Record<string, unknown>>) => ({
    get: operation(path, { summary, roles: ROLES, answers: { 200: answered }, refusals: [404, 409] }),
  })
  return {
    '/periods/{id}/average': read(
      '/periods/{id}/average',
      'The newest average for people: the numbers, their labels, what was left out and why',
      answer('The summary', ref('Average')),
    ),
    '/periods/{id}/bundle': read(
      '/periods/{id}/bundle',
      'The newest average as it goes to the clinic: a FHIR transaction Bundle',
      bundle,
    ),
    '/periods/{id}/averages': read(
      '/periods/{id}/averages',
      'Every average issued for a period, the first one first, each with its successor',
      answer('Their places', {
        type: 'object',
        properties: { items: { type: 'array', items: ref('Issued') } },
      }),
    ),
    '/periods/{id}/averages/{revision}': read(
      '/periods/{id}/averages/{revision}',
      'One of them for people, as it was issued',
      answer('The summary', ref('Average')),
    ),
    '/periods/{id}/averages/{revision}/bundle': read(
      '/periods/{id}/averages/{revision}/bundle',
      'One of them as it was made for the clinic',
      bundle,
    ),
    '/periods/{id}/comparison': {
      get: operation('/periods/{id}/comparison', {
        summary: 'The same readings under every protocol: whether the rule or the patient moves the label',
        description: 'Of an open period as of a closed one. Nothing is kept or sent.',
        roles: ROLES,
        answers: { 200: answer('One row a protocol', { type: 'object' }) },
        refusals: [404, 422],
      }),
    },
  }
}

function sweepPaths(): Paths {
  return {
    '/averages': {
      get: operation('/averages', {
        summary: 'Everyone’s average under one protocol, as a stream',
        description:
          'One person a line, in the order of source and subject, and a last line with the summary; an answer without ' +
          'it is not complete. Days are each person’s own. Who is not enrolled, or sent nothing for the days, is not ' +
          'among them. Means are rounded to one decimal, counts are exact. Where a clinic’s policy leaves readings out ' +
          'for a finding, its people are averaged by that policy, one by one.',
        roles: ROLES,
        query: [
          ['protocol', 'Id of a loaded protocol'],
          ['firstDay', 'First local day, such as 2026-03-02'],
          ['days', 'Local days, 1 to 366; the protocol’s ideal when absent'],
          ['source', 'Only the people of this source'],
        ],
        answers: { 200: answer('One person a line', ref('SweptAverage'), 'application/x-ndjson') },
        refusals: [400, 404],
      }),
    },
  }
}
