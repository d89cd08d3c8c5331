import { versionOf } from './bundle-entries.ts'
import { capabilityStatement } from './capability-statement.ts'
import { abilitiesOf, type ClinicBehaviour } from './clinic-behaviour.ts'
import { type ClinicContext, pause } from './clinic-context.ts'
import { checkReferences } from './clinic-references.ts'
import { ClinicRefusal } from './clinic-refusal.ts'
import { type ClinicReply, page, placeHeaders, refusalReply, resourceReply } from './clinic-reply.ts'
import { type ClinicRequest, resourceIn } from './clinic-request.ts'
import type { ClinicResource, Version } from './clinic-resource.ts'
import { type AskedWrite, planWrite } from './plan-write.ts'
import { type EntryFault, processBatch, processTransaction } from './process-bundle.ts'
import { readClinic, search } from './read-clinic.ts'

/**
 * Does what a request asks and answers it. Source: FHIR R4 4.0.1 http.html.
 *
 * @param fault makes a bundle go wrong in part.
 */
export async function serveRequest(
  request: ClinicRequest,
  context: ClinicContext,
  fault?: EntryFault,
): Promise<ClinicReply> {
  try {
    refuseUnread(request, context.behaviour)
    return await serve(request, context, fault)
  } catch (thrown) {
    if (!(thrown instanceof ClinicRefusal)) throw thrown
    return refusalReply(thrown, context.behaviour)
  }
}

function refuseUnread({ headers, body, method, path }: ClinicRequest, behaviour: ClinicBehaviour): void {
  if (path === 'metadata') return
  const refused = behaviour.admits(headers.get('authorization') ?? undefined)
  if (refused !== undefined) throw new ClinicRefusal(refused, 'security', 'Not allowed')
  if (method !== 'POST' && method !== 'PUT') return
  if (Buffer.byteLength(body) > behaviour.mostOctets) throw new ClinicRefusal(413, 'too-long', 'Too large')
  const type = headers.get('content-type')?.split(';')[0]?.trim()
  const taken = path.endsWith('/_search') ? SEARCH_TYPES : RESOURCE_TYPES
  if (!taken.some((one) => one === type))
    throw new ClinicRefusal(415, 'not-supported', 'The content type is not taken')
}

const RESOURCE_TYPES = ['application/fhir+json', 'application/json'] as const
const SEARCH_TYPES = ['application/x-www-form-urlencoded'] as const

async function serve(
  request: ClinicRequest,
  context: ClinicContext,
  fault: EntryFault | undefined,
): Promise<ClinicReply> {
  const { method, path, query } = request
  if (method === 'GET') return path === 'metadata' ? statement(context) : read(request, context)
  if (method === 'POST' && path === '') return bundle(request, context, fault)
  if (method === 'POST' && path.endsWith('/_search')) {
    const type = path.slice(0, -'/_search'.length)
    const can = abilitiesOf(context.behaviour, type)
    if (can === undefined) throw new ClinicRefusal(404, 'not-found', 'There is nothing there')
    const both = new URLSearchParams([...query, ...new URLSearchParams(request.body)])
    return resourceReply(200, search(type, both, can, 'post', context).resource)
  }
  const [type = '', id, ...more] = path.split('/')
  if (method === 'POST' && id === undefined) return write(request, { method, type }, context)
  if (method === 'PUT' && more.length === 0) {
    if (id !== undefined) return write(request, { method, type, id }, context)
    return write(request, { method, type, condition: query.toString() }, context)
  }
  throw new ClinicRefusal(405, 'not-supported', 'The method is not offered there')
}

function statement({ behaviour, base }: ClinicContext): ClinicReply {
  switch (behaviour.statement) {
    case 'missing':
      throw new ClinicRefusal(404, 'not-found', 'There is nothing there')
    case 'page':
      return { status: 200, headers: { 'content-type': 'text/html' }, body: page('Welcome') }
    default:
      return resourceReply(200, capabilityStatement(behaviour, base))
  }
}

function read({ path, query }: ClinicRequest, context: ClinicContext): ClinicReply {
  const { resource, version } = readClinic(path, query, context)
  const isTagged = version !== undefined && context.behaviour.etag
  return resourceReply(200, resource, isTagged ? { etag: `W/"${version.version}"` } : {})
}

async function bundle(
  request: ClinicRequest,
  context: ClinicContext,
  fault: EntryFault | undefined,
): Promise<ClinicReply> {
  const { behaviour } = context
  const posted = posting(request)
  const isTransaction = posted.type === 'transaction'
  if (posted.resourceType !== 'Bundle' || (!isTransaction && posted.type !== 'batch')) {
    throw new ClinicRefusal(400, 'invalid', 'The base takes a transaction or a batch')
  }
  const isOffered = isTransaction ? behaviour.transaction !== 'off' : behaviour.batch
  if (!isOffered) throw new ClinicRefusal(405, 'not-supported', 'The base takes no such bundle')
  const count = Array.isArray(posted.entry) ? posted.entry.length : 0
  if (count > behaviour.mostEntries) throw new ClinicRefusal(413, 'too-costly', 'Too many entries')
  const represent = prefers(request) === 'representation'
  const alone = !isTransaction || behaviour.transaction === 'as-batch' || fault !== undefined
  const answer = alone
    ? processBatch(posted, represent, context, fault)
    : await processTransaction(posted, represent, context)
  return resourceReply(200, answer)
}

async function write(
  request: ClinicRequest,
  place: Pick<AskedWrite, 'method' | 'type' | 'id' | 'condition'>,
  context: ClinicContext,
): Promise<ClinicReply> {
  const { behaviour, base, kept } = context
  const ifNoneExist = request.headers.get('if-none-exist')
  const ifMatch = request.headers.get('if-match')
  const resource = posting(request)
  const asked: AskedWrite = {
    ...place,
    ...(place.method === 'POST' && ifNoneExist !== null ? { condition: ifNoneExist } : {}),
    ...(ifMatch === null ? {} : { ifMatch: versionOf(ifMatch) }),
    resource,
    inTransaction: false,
  }
  const plan = planWrite(asked, context)
  if (plan.kind === 'matched') {
    const held = kept.newest(plan.held.resourceType, String(plan.held.id))
    if (held === undefined) throw new Error('what matched is held')
    return written(200, held, request, context)
  }
  const own = `${plan.write.resource.resourceType}/${plan.write.id}`
  checkReferences(resource, new Set([own]), context)
  if (behaviour.raceMs > 0 && place.method === 'POST') await pause(behaviour.raceMs)
  const [version] = kept.commit([plan.write], context.request, context.now())
  if (version === undefined) throw new Error('a commit gives a version')
  return written(plan.status, version, request, { behaviour, base })
}

function written(
  status: number,
  version: Version,
  request: ClinicRequest,
  { behaviour, base }: Pick<ClinicContext, 'behaviour' | 'base'>,
): ClinicReply {
  const isTold = behaviour.writtenBody !== 'never' && prefers(request) !== 'minimal'
  return resourceReply(status, isTold ? version.resource : undefined, placeHeaders(version, behaviour, base))
}

function posting({ body }: ClinicRequest): ClinicResource {
  const resource = resourceIn(body)
  if (resource === undefined) throw new ClinicRefusal(400, 'structure', 'The body is no resource')
  return resource
}

function prefers({ headers }: ClinicRequest): string | undefined {
  return /\breturn=(\w+)/.exec(headers.get('prefer') ?? '')?.[1]
}
