import { AUDIT_ACTIONS } from '../../../core/audit/audit-entry.ts'
import { ERROR_CODES } from '../../../core/basics/error-codes.ts'
import { OUTBOX_KINDS, OUTBOX_STATES, STUCK_STATES } from '../../../core/outbox/entry.ts'
import { DELIVERY_QUERY } from '../request/delivery-filter.ts'
import { answer, operation, type QueryParameter } from './operation.ts'
import { PAGE, type Paths } from './path-parts.ts'
import { periodPaths } from './period-paths.ts'
import { type JsonSchema, moment, ref } from './schema-words.ts'

const OPERATORS = ['operate']

/** The form of the filter’s words that are more than a text. */
const FILTER_FORMS: Readonly<Record<string, JsonSchema>> = {
  state: { enum: OUTBOX_STATES },
  kind: { enum: OUTBOX_KINDS },
  problem: { enum: Object.keys(ERROR_CODES) },
  queuedBefore: moment,
}

const FILTER: readonly QueryParameter[] = DELIVERY_QUERY.map(([name, description]) => {
  const form = FILTER_FORMS[name]
  return form === undefined ? [name, description] : [name, description, form]
})

const STUCK: readonly QueryParameter[] = FILTER.map((one) =>
  one[0] === 'state' ? ['state', STUCK_STATES.join(', '), { enum: STUCK_STATES }] : one,
)

/** What becomes of sessions: periods, their averages, deliveries, and the trail. */
export function outcomePaths(): Paths {
  return { ...periodPaths(), ...deliveryPaths(), ...destinationPaths(), ...auditPaths() }
}

function deliveryPaths(): Paths {
  return {
    '/deliveries': {
      get: operation('/deliveries', {
        id: 'listDeliveries',
        tag: 'deliveries',
        summary: 'List deliveries to clinics',
        roles: ['read', 'operate'],
        query: [...FILTER, ...PAGE],
        answers: { 200: answer('A page of deliveries', ref('DeliveryPage')) },
        refusals: [400, 404, 406],
      }),
    },
    '/deliveries/retry': {
      post: operation('/deliveries/retry', {
        id: 'retryDeliveries',
        tag: 'deliveries',
        summary: 'Try given-up and parked deliveries again, those that a filter means',
        roles: OPERATORS,
        query: STUCK,
        answers: { 200: answer('How many are queued again', ref('Retried')) },
        refusals: [400, 404, 406],
      }),
    },
    '/deliveries/{id}': {
      get: operation('/deliveries/{id}', {
        id: 'readDelivery',
        tag: 'deliveries',
        summary:
          'One delivery: why it stands as it does, what the clinic’s server said, and where it stands there',
        description: 'What the server said may quote a patient.',
        roles: OPERATORS,
        answers: { 200: answer('The delivery', ref('Delivery')) },
        refusals: [404, 406],
      }),
    },
    '/deliveries/{id}/preview': {
      get: operation('/deliveries/{id}/preview', {
        id: 'previewDelivery',
        tag: 'deliveries',
        summary: 'What would be sent now, and how; sends nothing',
        roles: OPERATORS,
        answers: { 200: answer('The bundle or message, the rung and why', ref('Preview')) },
        refusals: [404, 406],
      }),
    },
    '/deliveries/{id}/retry': {
      post: operation('/deliveries/{id}/retry', {
        id: 'retryDelivery',
        tag: 'deliveries',
        summary: 'Try a given-up or parked delivery again',
        roles: OPERATORS,
        answers: { 200: answer('Queued again', ref('DeliveryState')) },
        refusals: [404, 406, 409],
      }),
    },
    '/deliveries/{id}/confirm': {
      post: operation('/deliveries/{id}/confirm', {
        id: 'confirmDelivery',
        tag: 'deliveries',
        summary: 'Say that a given-up or parked delivery was found in the clinic’s record',
        roles: OPERATORS,
        answers: { 200: answer('Settled', ref('DeliveryState')) },
        refusals: [404, 406, 409],
      }),
    },
  }
}

function destinationPaths(): Paths {
  return {
    '/destinations': {
      get: operation('/destinations', {
        id: 'listDestinations',
        tag: 'deliveries',
        summary: 'How each clinic is served and why, what is on its way, and what stands in the way',
        roles: ['read', 'operate'],
        answers: { 200: answer('All destinations', ref('DestinationList')) },
        refusals: [406],
      }),
    },
    '/destinations/{name}/resume': {
      post: operation('/destinations/{name}/resume', {
        id: 'resumeDestination',
        tag: 'deliveries',
        summary: 'Send to a stopped destination again, or say that another server stands there',
        roles: OPERATORS,
        query: [
          [
            'server',
            'Whether it is still the server served before; has to be said of one that moved. With other, nothing that was known of the server counts any more',
            { enum: ['same', 'other'] },
          ],
        ],
        answers: { 200: answer('Whether anything changed', ref('Resumed')) },
        refusals: [400, 404, 406, 409],
      }),
    },
  }
}

function auditPaths(): Paths {
  return {
    '/audit': {
      get: operation('/audit', {
        id: 'readAudit',
        tag: 'audit',
        summary: 'Who did what, when, as a chain of hashes',
        roles: ['audit'],
        query: [
          ['action', 'Only what was done like this', { enum: AUDIT_ACTIONS }],
          ['about', 'Only what was done to this: a UUID, a number or a name, as the rows tell it'],
          ['actor', 'Only what was done by this one; without the id of a key, with any of its keys'],
          ...PAGE,
        ],
        answers: { 200: answer('A page of audit rows', ref('Page')) },
        refusals: [400, 406],
      }),
    },
    '/audit/verify': {
      get: operation('/audit/verify', {
        id: 'verifyAudit',
        tag: 'audit',
        summary: 'Whether every audit row still follows from the one before',
        description:
          'Computes every hash again, from the first row to the last. Rows cut off the end, or a chain written anew, ' +
          'show only beside a row and hash that were kept elsewhere.',
        roles: ['audit'],
        query: [
          [
            'kept',
            'The number of a row, a colon and its hash, as an earlier answer told rows and hash; the trail has to go through it',
            { pattern: '^[1-9][0-9]{0,14}:[0-9a-fA-F]{64}$' },
          ],
        ],
        answers: { 200: answer('What was found, intact or not', ref('AuditVerdict')) },
        refusals: [400, 406],
      }),
    },
  }
}
