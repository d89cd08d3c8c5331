import { OUTBOX_KINDS, OUTBOX_STATES } from '../../../core/outbox/entry.ts'
import { RUNGS } from '../../../core/registry/rung.ts'
import {
  allOf,
  count,
  described,
  flag,
  list,
  moment,
  object,
  pageOf,
  ref,
  text,
  uuid,
} from './schema-words.ts'

const problem = { code: ref('Code'), meaning: text, remedy: text }
const states = Object.fromEntries(OUTBOX_STATES.map((state) => [state, count]))

const delivery = {
  id: { type: 'integer', minimum: 1 },
  destination: text,
  source: text,
  subject: text,
  kind: { enum: OUTBOX_KINDS },
  part: described(
    text,
    'Revision of an average, code of a call for attention; `calls` of a session that was changed, for the calls alone that rest on it',
  ),
  urgent: flag,
  about: described(uuid, 'Session or period'),
  moves: described(
    { const: true },
    'Brings what was delivered under another patient over to the one the subject is linked to',
  ),
  state: { enum: OUTBOX_STATES },
  attempts: count,
  queued: moment,
  due: described(moment, 'When it may be tried; only while it waits'),
  settled: described(moment, 'When it was settled; absent too where an earlier release settled it'),
  uncertain: described(
    flag,
    'Whether it may have been done without anyone hearing of it; it is looked for first',
  ),
  problem: ref('ToldProblem'),
  behind: object(
    { id: { type: 'integer', minimum: 1 }, state: { enum: OUTBOX_STATES }, problem: ref('ToldProblem') },
    {
      optional: ['problem'],
      description:
        'The delivery of the same patient to the same destination that goes before it; only with one delivery that waits',
    },
  ),
  held: list(
    object({
      uuid: described(uuid, 'Ours'),
      reference: described(text, 'At the clinic, such as Observation/4711'),
    }),
    'Where what it brought stands at the clinic, but for monitors; only with one delivery, and as far as the clinic told',
  ),
  said: object(
    { status: { type: 'integer' }, text },
    {
      optional: ['status', 'text'],
      description: 'What the clinic’s server said last; only with one delivery, and only to operators',
    },
  ),
}

/** Deliveries and destinations as operators read them. */
export const deliverySchemas = {
  ToldProblem: object(problem, { description: 'Why it is not settled, in plain words' }),
  Delivery: object(delivery, {
    optional: ['part', 'moves', 'due', 'settled', 'problem', 'behind', 'held', 'said'],
  }),
  DeliveryPage: pageOf('Delivery'),
  DeliveryState: object({ id: { type: 'integer', minimum: 1 }, state: { enum: ['waiting', 'settled'] } }),
  Retried: object({ retried: count }),
  Preview: object(
    {
      id: { type: 'integer', minimum: 1 },
      destination: text,
      kind: { enum: ['fhir', 'hl7v2'] },
      instead: described(ref('ToldProblem'), 'Why nothing would be sent'),
      bundle: ref('FhirResource'),
      way: object(
        {
          rung: { enum: RUNGS },
          because: list(text),
          leftOut: list(object({ type: text, uuid }), 'Resources that the server cannot be given'),
          differs: list(
            text,
            'Where what is sent differs from the bundle; empty where it leaves byte for byte',
          ),
          unreached: ref('ToldProblem'),
        },
        { optional: ['rung', 'unreached'] },
      ),
      message: described(text, 'What an HL7 v2 receiver would be sent, its segments ended by CR'),
    },
    { optional: ['kind', 'instead', 'bundle', 'way', 'message'] },
  ),
  Destination: object(
    {
      name: text,
      kind: described(
        { enum: ['fhir', 'hl7v2'] },
        'Absent where it is in the settings no more, and not done',
      ),
      resting: described(flag, 'Left alone for a while, because one request after the other failed'),
      stopped: object(
        { ...problem, since: moment },
        { description: 'Nothing is sent until an operator resumes it' },
      ),
      route: object(
        {
          rung: { enum: RUNGS },
          because: list(text),
          learnt: described(moment, 'When the server was last asked what it can do'),
          used: list({ enum: RUNGS }),
        },
        { optional: ['rung', 'learnt'] },
      ),
      problem: object(problem, { description: 'Why what waits longest was put off last' }),
      entries: object(states),
      behind: described(count, 'How many of those that wait are behind another of their patient'),
      next: described(moment, 'When the first of the others that wait is due'),
      stuck: list(
        object({ state: { enum: OUTBOX_STATES }, entries: count, ...problem }),
        'What is parked or given up, by why',
      ),
      oldest: object(
        { queued: moment, seconds: count },
        { description: 'Of the entries that are not settled' },
      ),
    },
    { optional: ['kind', 'stopped', 'route', 'problem', 'behind', 'next', 'oldest'] },
  ),
  DestinationList: allOf('Destination'),
  Resumed: object({ name: text, resumed: described(flag, 'Whether anything changed') }),
}
