import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { exists } from '../exists.ts'
import type { ResourceInvariant } from './invariant.ts'
import { pointersInside } from './pointers-inside.ts'

/** Source: FHIR R4 4.0.1, constraints of DomainResource. They hold for every type but Bundle, Binary and Parameters. */
export const domainResourceInvariants: readonly ResourceInvariant[] = [
  {
    key: 'dom-2',
    severity: 'error',
    human: 'no resource contained in a contained one',
    remedy: 'Contain both in the outer resource.',
    holds: ({ contained }) =>
      contained === undefined || !objectsOf(contained).some((inner) => exists(inner.contained)),
    where: ({ contained }) => whichContained(contained, (inner) => exists(inner.contained), '.contained'),
  },
  {
    key: 'dom-3',
    severity: 'error',
    human: 'a contained resource to be referred to from its container, or to refer to it',
    remedy: 'Refer to it by # and its id, or leave it out.',
    holds: (resource) =>
      resource.contained === undefined || !objectsOf(resource.contained).some(unreferenced(resource)),
    where: (resource) => whichContained(resource.contained, unreferenced(resource)),
  },
  {
    key: 'dom-4',
    severity: 'error',
    human: 'no version id and no last update in a contained resource',
    remedy: 'Remove them: it has no life of its own.',
    holds: ({ contained }) => contained === undefined || !objectsOf(contained).some(hasVersion),
    where: ({ contained }) => whichContained(contained, hasVersion, '.meta'),
  },
  {
    key: 'dom-5',
    severity: 'error',
    human: 'no security label in a contained resource',
    remedy: 'Label the container.',
    holds: ({ contained }) => contained === undefined || !objectsOf(contained).some(hasSecurity),
    where: ({ contained }) => whichContained(contained, hasSecurity, '.meta.security'),
  },
  {
    key: 'dom-6',
    severity: 'warning',
    human: 'a narrative, for readers who do not know the resource',
    remedy:
      'Add text.div where a person will read it. R4 has it as best practice: a resource is valid without.',
    holds: ({ text }) => isJsonObject(text) && exists(text.div),
  },
]

function whichContained(contained: unknown, breaks: (inner: JsonObject) => boolean, child = ''): string[] {
  if (!Array.isArray(contained)) return []
  return contained.flatMap((inner, i) =>
    isJsonObject(inner) && breaks(inner) ? [`contained[${i}]${child}`] : [],
  )
}

function hasVersion({ meta }: JsonObject): boolean {
  return isJsonObject(meta) && (exists(meta.versionId) || exists(meta.lastUpdated))
}

function hasSecurity({ meta }: JsonObject): boolean {
  return isJsonObject(meta) && exists(meta.security)
}

/** The contained resources nothing in the container points to, and that do not point to it. */
function unreferenced(resource: JsonObject): (inner: JsonObject) => boolean {
  const targets = pointersInside(resource).any
  // One without an id is passed over, as the published expression does: '#' and nothing is nothing.
  return (inner) =>
    typeof inner.id === 'string' && !targets.has(`#${inner.id}`) && !pointersInside(inner).back.has('#')
}
