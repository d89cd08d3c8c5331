import { OUTBOX_KINDS, OUTBOX_STATES } from '../../../core/outbox/entry.ts'
import { RUNGS } from '../../../core/registry/rung.ts'

const text = { type: 'string' }
const moment = { type: 'string', format: 'date-time' }

const problem = {
  type: 'object',
  description: 'Why it is not settled, in plain words',
  required: ['code', 'meaning', 'remedy'],
  properties: { code: { $ref: '#/components/schemas/Code' }, meaning: text, remedy: text },
}

/** Deliveries and destinations as operators read them. */
export const deliverySchemas = {
  Delivery: {
    type: 'object',
    required: [
      'id',
      'destination',
      'source',
      'subject',
      'kind',
      'urgent',
      'about',
      'state',
      'attempts',
      'queued',
      'uncertain',
    ],
    properties: {
      id: { type: 'integer' },
      destination: text,
      source: text,
      subject: text,
      kind: { enum: OUTBOX_KINDS },
      part: { type: 'string', description: 'Revision of an average, code of a call for attention' },
      urgent: { type: 'boolean' },
      about: { type: 'string', format: 'uuid', description: 'Session or period' },
      state: { enum: OUTBOX_STATES },
      attempts: { type: 'integer' },
      queued: moment,
      due: { ...moment, description: 'When it may be tried; only while it waits' },
      uncertain: {
        type: 'boolean',
        description: 'Whether it may have been done without anyone hearing of it; it is looked for first',
      },
      problem,
      said: {
        type: 'object',
        description: 'What the clinic’s server said last; only with one delivery, and only to operators',
        properties: { status: { type: 'integer' }, text },
      },
    },
  },
  Retried: { type: 'object', required: ['retried'], properties: { retried: { type: 'integer' } } },
  Destination: {
    type: 'object',
    required: ['name', 'kind', 'resting', 'entries'],
    properties: {
      name: text,
      kind: { enum: ['fhir', 'hl7v2'] },
      resting: {
        type: 'boolean',
        description: 'Left alone for a while, because one request after the other failed',
      },
      stopped: { ...problem, description: 'Nothing is sent until an operator resumes it' },
      route: {
        type: 'object',
        required: ['because', 'used'],
        properties: {
          rung: { enum: RUNGS },
          because: { type: 'array', items: text },
          learnt: { ...moment, description: 'When the server was last asked what it can do' },
          used: { type: 'array', items: { enum: RUNGS } },
        },
      },
      entries: {
        type: 'object',
        properties: Object.fromEntries(OUTBOX_STATES.map((state) => [state, { type: 'integer' }])),
      },
      oldest: {
        type: 'object',
        description: 'Of the entries that are not settled',
        properties: { queued: moment, seconds: { type: 'integer' } },
      },
    },
  },
} as const
