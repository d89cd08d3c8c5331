import type { Bundle, BundleEntry, Device, Observation, Provenance } from 'fhir/r4.js'
import { SENT_TYPES, type SentType } from './route/abilities.ts'

/** One resource of a rendered bundle, taken apart so that it can be brought to a server on any rung. */
export interface SentResource {
  /** Our UUID: in the fullUrl, and in the identifier or tag. */
  readonly uuid: string
  readonly type: SentType
  readonly resource: Observation | Device | Provenance
  /** How it is found: `identifier` for Observation and Device, `_tag` for Provenance, which has no identifier in R4. */
  readonly key: SearchKey
  /** `create`: leave what the server holds. `update`: bring it up to date. */
  readonly intent: 'create' | 'update'
  /** UUIDs of the bundle's other resources that it refers to. */
  readonly refersTo: readonly string[]
}

export interface SearchKey {
  readonly parameter: 'identifier' | '_tag'
  readonly system: string
  readonly value: string
}

/** How a resource of the same bundle is referred to: RFC 9562 section 4, as R4 bundle.html has it in a transaction. */
const URN = 'urn:uuid:'

/**
 * The resources of a transaction bundle of ours, what is referred to before what refers to it, otherwise as they stand.
 *
 * @throws TypeError when it is no bundle that `core/fhir` makes.
 */
export function sentResources(bundle: Bundle): readonly SentResource[] {
  const standing = new Map<string, SentResource>()
  for (const entry of bundle.entry ?? []) {
    const sent = sentResource(entry)
    if (standing.has(sent.uuid)) throw new TypeError('a resource stands twice in the bundle')
    standing.set(sent.uuid, sent)
  }
  return inOrderOfReference(standing)
}

/** The UUID a reference of ours points to inside its bundle; undefined for any other reference. */
export function uuidIn(reference: string): string | undefined {
  return reference.startsWith(URN) ? reference.slice(URN.length) : undefined
}

function sentResource({ fullUrl, resource, request }: BundleEntry): SentResource {
  const uuid = fullUrl === undefined ? undefined : uuidIn(fullUrl)
  if (uuid === undefined || !isSent(resource)) throw new TypeError('an entry is no resource that we send')
  const refersTo = new Set<string>()
  gatherReferences(resource, refersTo)
  refersTo.delete(uuid)
  const intent = request?.method === 'PUT' ? 'update' : 'create'
  const query = intent === 'update' ? request?.url.split('?')[1] : request?.ifNoneExist
  return {
    uuid,
    type: resource.resourceType,
    resource,
    key: searchKey(query),
    intent,
    refersTo: [...refersTo],
  }
}

function isSent(resource: BundleEntry['resource']): resource is SentResource['resource'] {
  return SENT_TYPES.some((type) => type === resource?.resourceType)
}

/** `identifier=system|value` or `_tag=system|code`, as `core/fhir` writes conditions. */
function searchKey(query = ''): SearchKey {
  const [, parameter, system, value] = /^(identifier|_tag)=([^|]+)\|([^|]+)$/.exec(query) ?? []
  if (system === undefined || value === undefined) throw new TypeError('an entry is not conditional')
  return { parameter: parameter === '_tag' ? '_tag' : 'identifier', system, value }
}

function gatherReferences(value: object, into: Set<string>): void {
  if ('reference' in value && typeof value.reference === 'string') {
    const uuid = uuidIn(value.reference)
    if (uuid !== undefined) into.add(uuid)
  }
  for (const member of Object.values(value)) {
    if (typeof member === 'object' && member !== null) gatherReferences(member, into)
  }
}

function inOrderOfReference(standing: ReadonlyMap<string, SentResource>): readonly SentResource[] {
  const ordered = new Set<SentResource>()
  const under = new Set<string>()
  const place = (sent: SentResource): void => {
    if (ordered.has(sent)) return
    if (under.has(sent.uuid)) throw new TypeError('resources of the bundle refer to each other in a circle')
    under.add(sent.uuid)
    for (const uuid of sent.refersTo) {
      const target = standing.get(uuid)
      if (target === undefined) throw new TypeError('a resource refers to one that is not in the bundle')
      place(target)
    }
    ordered.add(sent)
  }
  for (const sent of standing.values()) place(sent)
  return [...ordered]
}
