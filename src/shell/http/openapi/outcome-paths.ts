import { answer, json, operation } from './operation.ts'
import { BODY_REFUSALS, PAGE, type Paths } from './path-parts.ts'
import { ref } from './schemas.ts'

/** What becomes of sessions: periods, their averages, deliveries, and the trail. */
export function outcomePaths(): Paths {
  return { ...periodPaths(), ...deliveryPaths() }
}

function periodPaths(): Paths {
  const roles = ['read', 'operate']
  const period = { type: 'object' }
  return {
    '/periods': {
      get: operation('/periods', {
        summary: 'List periods',
        roles,
        query: PAGE,
        answers: { 200: answer('A page of periods', ref('Page')) },
        refusals: [400],
      }),
      post: operation('/periods', {
        summary: 'Open a period; the same again is the same period',
        roles: ['operate'],
        body: json('PeriodRequest'),
        answers: { 200: answer('Open already', period), 201: answer('Opened', period) },
        refusals: BODY_REFUSALS,
      }),
    },
    '/periods/{id}': {
      get: operation('/periods/{id}', {
        summary: 'One period',
        roles,
        answers: { 200: answer('The period', period) },
        refusals: [404],
      }),
    },
    '/periods/{id}/close': {
      post: operation('/periods/{id}/close', {
        summary: 'Close a period now: average it and queue the average for the clinic',
        roles: ['operate'],
        answers: { 200: answer('The closed period', period) },
        refusals: [404, 422],
      }),
    },
    '/periods/{id}/bundle': {
      get: operation('/periods/{id}/bundle', {
        summary: 'The average as it goes to the clinic: a FHIR transaction Bundle',
        roles,
        answers: { 200: answer('The bundle', ref('FhirResource'), 'application/fhir+json') },
        refusals: [404, 409],
      }),
    },
    '/periods/{id}/average': {
      get: operation('/periods/{id}/average', {
        summary: 'The average for people: the numbers, their labels, what was left out and why',
        roles,
        answers: { 200: answer('The summary', { type: 'object' }) },
        refusals: [404, 409],
      }),
    },
  }
}

function deliveryPaths(): Paths {
  return {
    '/deliveries': {
      get: operation('/deliveries', {
        summary: 'List deliveries to clinics',
        roles: ['read', 'operate'],
        query: [['state', 'waiting, claimed, settled or given-up'], ...PAGE],
        answers: { 200: answer('A page of deliveries', ref('Page')) },
        refusals: [400],
      }),
    },
    '/deliveries/{id}/retry': {
      post: operation('/deliveries/{id}/retry', {
        summary: 'Try a given-up delivery again',
        roles: ['operate'],
        answers: { 200: answer('Queued again', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/audit': {
      get: operation('/audit', {
        summary: 'Who did what, when, as a chain of hashes',
        roles: ['audit'],
        query: PAGE,
        answers: { 200: answer('A page of audit rows', ref('Page')) },
        refusals: [400],
      }),
    },
  }
}
