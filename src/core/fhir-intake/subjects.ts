import { type Issue, inputError } from '../basics/issue.ts'
import { isJsonObject, type JsonObject, objectsOf } from '../basics/json-object.ts'
import type { PlacedResource } from './bundle-resources.ts'
import { baseIn, idIn, type ReferencedResources } from './resolve-reference.ts'

/** Whose an Observation is. */
export interface KnownSubject {
  /** The subject's own id at the source: its one identifier, or the id in the reference to it. */
  readonly id: string
  /** What the id is unique in: the system of an identifier, or a server. */
  readonly within: 'system' | 'server'
  /** Which one, where it is said. */
  readonly name?: string
}

/** An identifier says who it is wherever the resource lies; several would leave open which one is meant. */
export function subjectOf(
  { resource: observation, fullUrl }: Pick<PlacedResource, 'resource' | 'fullUrl'>,
  referenced: ReferencedResources,
): KnownSubject | undefined {
  const { subject } = observation
  if (!isJsonObject(subject)) return undefined
  const patient = referenced.resolve(subject, observation)
  const identifier = isJsonObject(subject.identifier) ? subject.identifier : onlyOne(patient?.identifier)
  if (typeof identifier?.value === 'string') {
    const { system } = identifier
    return known(identifier.value, 'system', typeof system === 'string' ? system : undefined)
  }
  const id = idIn(subject, 'Patient')
  if (id !== undefined) return known(id, 'server', baseIn(subject, fullUrl))
  const own = patient?.resourceType === 'Patient' && !isContained(subject) ? patient.id : undefined
  return typeof own === 'string' ? known(own, 'server', undefined) : undefined
}

/**
 * Ids that stand for a patient of two systems, or of two servers, in one document. Each may be somebody else, and nothing
 * behind this tells them apart. Source: FHIR R4 4.0.1, Identifier.system; Resource.id, unique on its server.
 */
export function sharedIds(subjects: readonly (KnownSubject | undefined)[]): ReadonlySet<string> {
  const names = new Map<string, string>()
  const shared = new Set<string>()
  for (const subject of subjects) {
    if (subject?.name === undefined) continue
    const { id, within, name } = subject
    const key = `${within} ${id}`
    const earlier = names.get(key) ?? name
    names.set(key, earlier)
    if (earlier !== name) shared.add(id)
  }
  return shared
}

/** @param at of the Observation. */
export function sharedIdIssue(at: string): Issue {
  const expected = 'an id that is one patient’s: in this document it stands in two systems, or on two servers'
  const remedy =
    'Send the readings of each system or server in documents of their own, by a source of their own.'
  return inputError('conflict', 'OTHER_SUBJECT', `${at}.subject`, expected, remedy)
}

/** The id of a contained resource is unique in what contains it only. Source: FHIR R4 4.0.1, contained resources. */
function isContained({ reference }: JsonObject): boolean {
  return typeof reference === 'string' && reference.startsWith('#')
}

function known(id: string, within: KnownSubject['within'], name: string | undefined): KnownSubject {
  return { id, within, ...(name === undefined ? {} : { name }) }
}

function onlyOne(identifiers: unknown): JsonObject | undefined {
  const found = objectsOf(identifiers)
  return found.length === 1 ? found[0] : undefined
}
