import { PERIOD_STATES } from '../../../core/registry/period.ts'
import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, PAGE, type Paths } from './path-parts.ts'
import { type JsonSchema, linesOf, ref } from './schema-words.ts'

const ROLES = ['read', 'operate']

/** Periods, the averages issued for them, and averages of everyone. */
export function periodPaths(): Paths {
  return { ...openingPaths(), ...averagePaths(), ...sweepPaths() }
}

function openingPaths(): Paths {
  return {
    '/protocols': {
      get: operation('/protocols', {
        id: 'listProtocols',
        tag: 'periods',
        summary: 'The protocols that are loaded, each with its source',
        roles: ROLES,
        answers: { 200: answer('All protocols, and the rules for 24-hour recordings', ref('ProtocolList')) },
        refusals: [406],
      }),
    },
    '/periods': {
      get: operation('/periods', {
        id: 'listPeriods',
        tag: 'periods',
        summary: 'List periods',
        roles: ROLES,
        query: [
          ['source', 'Only those of this source'],
          ['subject', 'Only those of this subject'],
          ['state', PERIOD_STATES.join(', '), { enum: PERIOD_STATES }],
          ['protocol', 'Only those under this protocol'],
          ...PAGE,
        ],
        answers: { 200: answer('A page of periods', ref('PeriodPage')) },
        refusals: [400, 404, 406],
      }),
      post: operation('/periods', {
        id: 'openPeriod',
        tag: 'periods',
        summary: 'Open a period; the same again is the same period',
        description:
          'Under a protocol, or under a rule for 24-hour recordings. Without one, the destination’s own. The same subject, ' +
          'protocol and first day are the same period; with other days or another arm it is refused (409).',
        roles: ['operate'],
        body: json('PeriodRequest'),
        answers: { 200: answer('Open already', ref('Period')), 201: answer('Opened', ref('Period')) },
        refusals: [...BODY_REFUSALS, 409],
      }),
    },
    '/periods/{id}': {
      get: operation('/periods/{id}', {
        id: 'readPeriod',
        tag: 'periods',
        summary: 'One period',
        roles: ROLES,
        answers: { 200: answer('The period', ref('Period')) },
        refusals: [404, 406],
      }),
      delete: operation('/periods/{id}', {
        id: 'withdrawPeriod',
        tag: 'periods',
        summary: 'Withdraw a period that was opened by mistake',
        description:
          'Open or closed. It is kept and marked, nothing opens it again, and a period of the same days may be opened ' +
          'beside it. Where averages of it were issued, each clinic that one was queued for gets a revision that is ' +
          'entered-in-error; the readings stay as they were measured. Again changes nothing.',
        roles: ['operate'],
        answers: { 200: answer('The withdrawn period', ref('WithdrawnPeriod')) },
        refusals: [404, 406],
      }),
    },
    '/periods/{id}/close': {
      post: operation('/periods/{id}/close', {
        id: 'closePeriod',
        tag: 'periods',
        summary: 'Close a period whose last day is over: average it and queue the average for the clinic',
        description:
          'Without waiting for the grace for late uploads; refused (409) while the period runs. ' +
          'What arrived before the request is looked at first. A period that opened again, because a session came late, ' +
          'was corrected or was withdrawn, gets an amended average; none when nothing of substance changed, and ' +
          'issuedNow is then false.',
        roles: ['operate'],
        answers: { 200: answer('The closed period', ref('ClosedPeriod')) },
        refusals: [404, 406, 409, 422],
      }),
    },
  }
}

function averagePaths(): Paths {
  const read = (path: string, id: string, summary: string, schema: JsonSchema, type?: string) => ({
    get: operation(path, {
      id,
      tag: 'periods',
      summary,
      roles: ROLES,
      answers: { 200: answer('As it was issued', schema, type) },
      refusals: [404, 406, 409],
    }),
  })
  const bundle = ref('FhirResource')
  return {
    '/periods/{id}/average': read(
      '/periods/{id}/average',
      'readAverage',
      'The newest average for people: the numbers, their labels, what was left out and why',
      ref('Average'),
    ),
    '/periods/{id}/bundle': read(
      '/periods/{id}/bundle',
      'readBundle',
      'The newest average as it goes to the clinic: a FHIR transaction Bundle',
      bundle,
      'application/fhir+json',
    ),
    '/periods/{id}/averages': read(
      '/periods/{id}/averages',
      'listAverages',
      'Every average issued for a period, the first one first, each with its successor',
      ref('IssuedList'),
    ),
    '/periods/{id}/averages/{revision}': read(
      '/periods/{id}/averages/{revision}',
      'readIssuedAverage',
      'One of them for people, as it was issued',
      ref('Average'),
    ),
    '/periods/{id}/averages/{revision}/bundle': read(
      '/periods/{id}/averages/{revision}/bundle',
      'readIssuedBundle',
      'One of them as it was made for the clinic',
      bundle,
      'application/fhir+json',
    ),
    '/periods/{id}/comparison': {
      get: operation('/periods/{id}/comparison', {
        id: 'comparePeriod',
        tag: 'periods',
        summary: 'The same readings under every protocol: whether the rule or the patient moves the label',
        description: 'Of an open period as of a closed one. Nothing is kept or sent.',
        roles: ROLES,
        answers: { 200: answer('One row a protocol', ref('Comparison')) },
        refusals: [404, 406, 422],
      }),
    },
  }
}

function sweepPaths(): Paths {
  return {
    '/averages': {
      get: operation('/averages', {
        id: 'sweepAverages',
        tag: 'periods',
        summary: 'Everyone’s average under one protocol, as a stream',
        description:
          'One person a line, in the order of source and subject, and a last line with the summary; an answer without ' +
          'it is not complete. Days are each person’s own. Who is not enrolled, or sent nothing for the days, is not ' +
          'among them. Means are rounded to one decimal, counts are exact. Where a clinic’s policy leaves readings out ' +
          'for a finding, its people are averaged by that policy, one by one.',
        roles: ROLES,
        query: [
          ['protocol', 'Id of a loaded protocol; must be given'],
          [
            'firstDay',
            'First local day, such as 2026-03-02, from 1990 on; must be given',
            { type: 'string', format: 'date' },
          ],
          [
            'days',
            'Local days; the protocol’s ideal when absent',
            { type: 'integer', minimum: 1, maximum: 366 },
          ],
          ['source', 'Only the people of this source'],
        ],
        answers: {
          200: answer(
            'One person a line',
            linesOf(ref('SweptAverage'), 'A person a line, and the summary as the last line'),
            'application/x-ndjson',
          ),
        },
        refusals: [400, 404, 406],
      }),
    },
  }
}
