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
