import { type CorpusCase, changes, invariant, reference, structure, whole } from '../corpus-case.ts'
import { auditEvent, operationOutcome, provenance } from '../examples/people-and-things.ts'

const A = 'AuditEvent'
const P = 'Provenance'
const ISSUE = 'OperationOutcome.issue'
const TARGETS = 'R4 Reference target types'

const ofProvenance = changes('provenance', provenance, [
  ['at no said time', 'R4 Provenance.occurred[x] 0..1', 'occurredPeriod', undefined],
  ['two targets', 'R4 Provenance.target 1..*', 'target.1', { reference: 'Observation/heart-rate' }],
  ['an agent of an entity', 'R4 Provenance.entity.agent', 'entity.0.agent', [{ who: { display: 'A' } }]],
  ['no target', 'R4 Provenance.target 1..*', 'target', undefined, structure(`${P}.target`)],
  ['no record time', 'R4 Provenance.recorded 1..1', 'recorded', undefined, structure(`${P}.recorded`)],
  ['recorded on a day', 'R4 instant', 'recorded', '2015-06-27', structure(`${P}.recorded`)],
  ['no agent', 'R4 Provenance.agent 1..*', 'agent', undefined, structure(`${P}.agent`)],
  [
    'an agent who is nobody',
    'R4 Provenance.agent.who 1..1',
    'agent.0.who',
    undefined,
    structure(`${P}.agent[0].who`),
  ],
  [
    'an agent that is no list',
    'R4 json.html: repeating elements are arrays',
    'agent',
    { who: { display: 'A' } },
    structure(`${P}.agent`),
  ],
  [
    'an entity without role',
    'R4 Provenance.entity.role 1..1',
    'entity.0.role',
    undefined,
    structure(`${P}.entity[0].role`),
  ],
  [
    'an entity of unknown role',
    'R4 value set provenance-entity-role, required',
    'entity.0.role',
    'origin',
    structure(`${P}.entity[0].role`),
  ],
  [
    'an entity without what',
    'R4 Provenance.entity.what 1..1',
    'entity.0.what',
    undefined,
    structure(`${P}.entity[0].what`),
  ],
  [
    'an agent of an entity who is nobody',
    'R4 Provenance.agent.who 1..1, by content reference',
    'entity.0.agent',
    [{ role: [{ text: 'r' }] }],
    structure(`${P}.entity[0].agent[0].who`),
  ],
  [
    'occurred in a period and at a time',
    'R4 formats.html, choice of data types',
    'occurredDateTime',
    '2015-06-27',
    structure(`${P}.occurred`),
  ],
  [
    'a period turned round',
    'R4 per-1',
    'occurredPeriod.end',
    '2015-06-26',
    invariant('per-1', `${P}.occurred`),
  ],
  [
    'an agent who is a place',
    `${TARGETS}: Provenance.agent.who`,
    'agent.0.who.reference',
    'Location/1',
    reference('reference-target', `${P}.agent[0].who`),
  ],
  [
    'a place that is a patient',
    `${TARGETS}: Provenance.location`,
    'location',
    { reference: 'Patient/1' },
    reference('reference-target', `${P}.location`),
  ],
  [
    'a signature without signer',
    'R4 Signature.who 1..1',
    'signature',
    [{ type: [{ code: '1' }], when: '2015-06-27T08:39:24+10:00' }],
    structure(`${P}.signature[0].who`),
  ],
])

const ofAudit = changes('audit event', auditEvent, [
  ['a query instead of a name', 'R4 sev-1', 'entity.0', { query: 'AAAA' }],
  ['name and query', 'R4 sev-1', 'entity.0.query', 'AAAA', invariant('sev-1', `${A}.entity[0]`)],
  ['no type', 'R4 AuditEvent.type 1..1', 'type', undefined, structure(`${A}.type`)],
  [
    'a type as a CodeableConcept',
    'R4 AuditEvent.type is a Coding',
    'type',
    { coding: [{ code: 'rest' }] },
    structure(`${A}.type.coding`),
  ],
  ['no record time', 'R4 AuditEvent.recorded 1..1', 'recorded', undefined, structure(`${A}.recorded`)],
  ['an unknown action', 'R4 value set audit-event-action, required', 'action', 'X', structure(`${A}.action`)],
  [
    'an unknown outcome',
    'R4 value set audit-event-outcome, required',
    'outcome',
    '1',
    structure(`${A}.outcome`),
  ],
  ['an outcome as a number', 'R4 json.html: strings', 'outcome', 0, structure(`${A}.outcome`)],
  ['no agent', 'R4 AuditEvent.agent 1..*', 'agent', undefined, structure(`${A}.agent`)],
  [
    'an agent not said to be the requestor',
    'R4 AuditEvent.agent.requestor 1..1',
    'agent.0.requestor',
    undefined,
    structure(`${A}.agent[0].requestor`),
  ],
  [
    'an unknown network',
    'R4 value set network-type, required',
    'agent.0.network.type',
    '9',
    structure(`${A}.agent[0].network.type`),
  ],
  ['no source', 'R4 AuditEvent.source 1..1', 'source', undefined, structure(`${A}.source`)],
  [
    'a source without observer',
    'R4 AuditEvent.source.observer 1..1',
    'source.observer',
    undefined,
    structure(`${A}.source.observer`),
  ],
  [
    'an observer that is a subscription',
    `${TARGETS}: AuditEvent.source.observer`,
    'source.observer',
    { reference: 'Subscription/1' },
    reference('reference-target', `${A}.source.observer`),
  ],
  [
    'a detail without type',
    'R4 AuditEvent.entity.detail.type 1..1',
    'entity.0.detail.0.type',
    undefined,
    structure(`${A}.entity[0].detail[0].type`),
  ],
  [
    'a detail without value',
    'R4 AuditEvent.entity.detail.value[x] 1..1',
    'entity.0.detail.0.valueString',
    undefined,
    structure(`${A}.entity[0].detail[0].value`),
  ],
  [
    'a detail of two values',
    'R4 formats.html, choice of data types',
    'entity.0.detail.0.valueBase64Binary',
    'AAAA',
    structure(`${A}.entity[0].detail[0].value`),
  ],
  [
    'a query that is no base64',
    'R4 base64Binary',
    'entity.0',
    { query: '?name=Ada' },
    structure(`${A}.entity[0].query`),
  ],
  [
    'a period turned round',
    'R4 per-1',
    'period.end',
    '2013-06-20T23:41:22Z',
    invariant('per-1', `${A}.period`),
  ],
])

const ofOutcome = changes('operation outcome', operationOutcome, [
  [
    'all is well',
    'R4 operationoutcome-example-allok',
    'issue.0',
    { severity: 'information', code: 'informational', details: { text: 'All OK' } },
  ],
  ['no issue', 'R4 OperationOutcome.issue 1..*', 'issue', undefined, structure(ISSUE)],
  ['an empty list of issues', 'R4 json.html: arrays are never empty', 'issue', [], structure(ISSUE)],
  [
    'an issue without severity',
    'R4 OperationOutcome.issue.severity 1..1',
    'issue.0.severity',
    undefined,
    structure(`${ISSUE}[0].severity`),
  ],
  [
    'an issue of unknown severity',
    'R4 value set issue-severity, required',
    'issue.0.severity',
    'success',
    structure(`${ISSUE}[0].severity`),
  ],
  [
    'an issue without code',
    'R4 OperationOutcome.issue.code 1..1',
    'issue.0.code',
    undefined,
    structure(`${ISSUE}[0].code`),
  ],
  [
    'an issue of unknown code',
    'R4 value set issue-type, required',
    'issue.0.code',
    'broken',
    structure(`${ISSUE}[0].code`),
  ],
  [
    'a place that is no list',
    'R4 json.html: repeating elements are arrays',
    'issue.0.expression',
    'Patient',
    structure(`${ISSUE}[0].expression`),
  ],
  [
    'details as text',
    'R4 OperationOutcome.issue.details is a CodeableConcept',
    'issue.0.details',
    'a',
    structure(`${ISSUE}[0].details`),
  ],
])

export const recordCases: readonly CorpusCase[] = [
  whole('provenance', 'R4 provenance-example', provenance()),
  whole('audit event of a read', 'R4 audit-event-example-rest', auditEvent()),
  whole('operation outcome', 'R4 operationoutcome-example-validationfail', operationOutcome()),
  ...ofProvenance,
  ...ofAudit,
  ...ofOutcome,
]
