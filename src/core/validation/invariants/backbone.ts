import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasChoice, hasPrimitive } from './presence.ts'

/** Source: FHIR R4 4.0.1, constraints of parts of Observation, Patient, AuditEvent, Parameters and Bundle. */
export const backboneInvariants = [
  invariant(
    'obs-3',
    'Observation_ReferenceRange',
    'a low, a high or a text',
    'Add at least one of them.',
    (range) => exists(range.low) || exists(range.high) || hasPrimitive(range, 'text'),
  ),
  invariant(
    'pat-1',
    'Patient_Contact',
    'a name, a telecom, an address or an organization',
    'Say who the contact is or how to reach them.',
    (contact) =>
      exists(contact.name) ||
      exists(contact.telecom) ||
      exists(contact.address) ||
      exists(contact.organization),
  ),
  invariant(
    'sev-1',
    'AuditEvent_Entity',
    'a name or a query, not both',
    'Keep one of the two.',
    (entity) => !hasPrimitive(entity, 'name') || !hasPrimitive(entity, 'query'),
  ),
  invariant(
    'inv-1',
    'Parameters_Parameter',
    'a value, a resource or parts, and only one of them',
    'Keep one of them.',
    (parameter) =>
      [hasChoice(parameter, 'value'), exists(parameter.resource), exists(parameter.part)].filter(Boolean)
        .length === 1,
  ),
  invariant(
    'bdl-5',
    'Bundle_Entry',
    'a resource, a request or a response',
    'Add what the entry is about, or leave it out.',
    (entry) => exists(entry.resource) || exists(entry.request) || exists(entry.response),
  ),
  {
    ...invariant(
      'bdl-8',
      'Bundle_Entry',
      'a fullUrl that names no version',
      'Cut the fullUrl before /_history/.',
      ({ fullUrl }) => typeof fullUrl !== 'string' || !fullUrl.includes('/_history/'),
    ),
    child: 'fullUrl',
  },
]
