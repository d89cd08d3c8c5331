import { DELIVERY_QUERY } from '../delivery-filter.ts'
import { answer, operation } from './operation.ts'
import { PAGE, type Paths } from './path-parts.ts'
import { periodPaths } from './period-paths.ts'
import { ref } from './schemas.ts'

/** What becomes of sessions: periods, their averages, deliveries, and the trail. */
export function outcomePaths(): Paths {
  return { ...periodPaths(), ...deliveryPaths() }
}

function deliveryPaths(): Paths {
  return {
    '/deliveries': {
      get: operation('/deliveries', {
        summary: 'List deliveries to clinics',
        roles: ['read', 'operate'],
        query: [...DELIVERY_QUERY, ...PAGE],
        answers: { 200: answer('A page of deliveries', pageOf('Delivery')) },
        refusals: [400],
      }),
    },
    '/deliveries/retry': {
      post: operation('/deliveries/retry', {
        summary: 'Try given-up and parked deliveries again, those that a filter means',
        roles: ['operate'],
        query: DELIVERY_QUERY,
        answers: { 200: answer('How many are queued again', ref('Retried')) },
        refusals: [400],
      }),
    },
    '/deliveries/{id}': {
      get: operation('/deliveries/{id}', {
        summary: 'One delivery, with what the clinic’s server said last',
        description: 'What the server said may quote a patient.',
        roles: ['operate'],
        answers: { 200: answer('The delivery', ref('Delivery')) },
        refusals: [404],
      }),
    },
    '/deliveries/{id}/preview': {
      get: operation('/deliveries/{id}/preview', {
        summary: 'What would be sent now, and how; sends nothing',
        roles: ['operate'],
        answers: { 200: answer('The bundle or message, the rung and why', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/deliveries/{id}/retry': {
      post: operation('/deliveries/{id}/retry', {
        summary: 'Try a given-up or parked delivery again',
        roles: ['operate'],
        answers: { 200: answer('Queued again', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/deliveries/{id}/confirm': {
      post: operation('/deliveries/{id}/confirm', {
        summary: 'Say that a given-up or parked delivery was found in the clinic’s record',
        roles: ['operate'],
        answers: { 200: answer('Settled', { type: 'object' }) },
        refusals: [404],
      }),
    },
    '/destinations': {
      get: operation('/destinations', {
        summary: 'How each clinic is served and why, what is on its way, and what stands in the way',
        roles: ['read', 'operate'],
        answers: { 200: answer('All destinations', pageOf('Destination')) },
      }),
    },
    '/destinations/{name}/resume': {
      post: operation('/destinations/{name}/resume', {
        summary: 'Send to a stopped destination again',
        roles: ['operate'],
        query: [
          ['server', 'same or other: whether a destination that moved is still the server served before'],
        ],
        answers: { 200: answer('Whether it was stopped', { type: 'object' }) },
        refusals: [400, 404, 409],
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

function pageOf(name: string) {
  const items = { type: 'array', items: ref(name) }
  return { type: 'object', required: ['items'], properties: { items, next: { type: 'string' } } }
}
