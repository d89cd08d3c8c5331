import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasPrimitive } from './presence.ts'

/** Source: FHIR R4 4.0.1, constraints of Attachment, ContactPoint and Expression. */
export const attachmentInvariants = [
  invariant(
    'att-1',
    'Attachment',
    'a content type beside the data',
    'Say what the data is.',
    (attachment) => !hasPrimitive(attachment, 'data') || hasPrimitive(attachment, 'contentType'),
  ),
  invariant(
    'cpt-2',
    'ContactPoint',
    'a system beside the value: phone, email or another',
    'Say what kind of contact it is.',
    (contact) => !hasPrimitive(contact, 'value') || hasPrimitive(contact, 'system'),
  ),
  invariant(
    'exp-1',
    'Expression',
    'an expression or a reference to one',
    'Add one of the two.',
    (expression) =>
      hasPrimitive(expression, 'expression') || exists(expression.reference) || exists(expression._reference),
  ),
]
