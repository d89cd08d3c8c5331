import { exists } from '../exists.ts'
import { invariant } from './invariant.ts'
import { hasChoice } from './presence.ts'

/** Source: FHIR R4 4.0.1, constraints ref-1 of Reference and ext-1 of Extension. */
export const referenceInvariants = [
  invariant(
    'ref-1',
    'Reference',
    'a reference beginning with # to name a resource contained here',
    'Contain the resource, or correct the id after the #.',
    // A lone '#' points to the container itself: allowed by references.html, forgotten by the published expression.
    ({ reference }, _root, contained) =>
      typeof reference !== 'string' ||
      reference.charCodeAt(0) !== HASH ||
      reference.length === 1 ||
      contained.get(reference.slice(1)) !== undefined,
  ),
  invariant(
    'ext-1',
    'Extension',
    'either a value or further extensions, not both and not neither',
    'Keep one of the two.',
    (extension) => exists(extension.extension) !== hasChoice(extension, 'value'),
  ),
]

const HASH = 35
