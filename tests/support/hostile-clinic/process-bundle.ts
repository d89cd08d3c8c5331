import { type BundleEntry, bundleEntries, type WriteEntry } from './bundle-entries.ts'
import type { ClinicBehaviour } from './clinic-behaviour.ts'
import { type ClinicContext, pause } from './clinic-context.ts'
import { checkReferences, withConditionalReferences, withPlaces } from './clinic-references.ts'
import { ClinicRefusal, operationOutcome } from './clinic-refusal.ts'
import { locationOf } from './clinic-reply.ts'
import type { ClinicResource, Version } from './clinic-resource.ts'
import type { PlannedWrite } from './kept-resources.ts'
import { planWrite, type WritePlan } from './plan-write.ts'
import { readClinic } from './read-clinic.ts'

/** What became of an entry. */
interface EntryOutcome {
  readonly status: number
  readonly version?: Version
  readonly resource?: object
}

/** One entry that fails by itself within a 200: its status, and whether those behind it fail too. */
export interface EntryFault {
  readonly at: number
  readonly status: number
  readonly andAllAfter: boolean
  /** Nothing is kept, whatever is answered for the other entries. */
  readonly takesAllBack?: true
}

/**
 * A transaction: all of it or nothing, in the order of R4 (creates, updates, reads, then conditional references).
 * Source: FHIR R4 4.0.1 http.html#trules.
 *
 * @throws ClinicRefusal for the whole.
 */
export async function processTransaction(
  bundle: ClinicResource,
  represent: boolean,
  context: ClinicContext,
): Promise<object> {
  const entries = bundleEntries(bundle, true)
  const plans = new Map<number, WritePlan>()
  for (const entry of writesOf(entries, 'POST')) plans.set(entry.index, planWrite(entry.asked, context))
  if (context.behaviour.raceMs > 0) await pause(context.behaviour.raceMs)
  const dropped = sameConditions(writesOf(entries, 'PUT'), context.behaviour)
  for (const entry of writesOf(entries, 'PUT')) plans.set(entry.index, planWrite(entry.asked, context))
  refuseSameIdentity(plans, dropped)

  const places = new Map<string, string>()
  for (const { index, fullUrl } of [...writesOf(entries, 'POST'), ...writesOf(entries, 'PUT')]) {
    const plan = plans.get(index)
    if (fullUrl !== undefined && plan !== undefined) places.set(fullUrl, placeOf(plan))
  }
  const done = [...plans].filter(([index]) => !dropped.has(index))
  const staged = done.flatMap(([, plan]) =>
    plan.kind === 'write' ? [{ ...plan.write.resource, id: plan.write.id }] : [],
  )
  const stagedPlaces = new Set(staged.map((one) => `${one.resourceType}/${one.id}`))
  const writes: (PlannedWrite & { readonly index: number })[] = []
  for (const [index, plan] of done) {
    if (plan.kind !== 'write') continue
    const placed = withPlaces(plan.write.resource as ClinicResource, places)
    const resource = withConditionalReferences(placed, staged, context)
    checkReferences(resource, stagedPlaces, context)
    writes.push({ ...plan.write, resource, index } as PlannedWrite & { readonly index: number })
  }
  const reads = new Map(
    entries.flatMap((entry) =>
      entry.kind === 'read' ? [[entry.index, readClinic(entry.path, entry.query, context).resource]] : [],
    ),
  )
  const versions = context.kept.commit(writes, context.request, context.now())
  const committed = new Map(writes.map(({ index }, at) => [index, versions[at]]))
  const outcomes = entries.map(({ index }): EntryOutcome => {
    const plan = plans.get(index)
    const resource = reads.get(index)
    if (plan === undefined) return { status: 200, ...(resource === undefined ? {} : { resource }) }
    return outcomeOf(plan, committed.get(index), context)
  })
  return responseBundle('transaction-response', outcomes, represent, context)
}

/**
 * A batch: each entry by itself. Where a transaction is quietly done as one, links to entries that were done before are
 * replaced and conditional references resolved, as far as that goes.
 * Source: FHIR R4 4.0.1 http.html#brules.
 */
export function processBatch(
  bundle: ClinicResource,
  represent: boolean,
  context: ClinicContext,
  fault?: EntryFault,
): object {
  const wasTransaction = bundle.type === 'transaction'
  const isTakenBack = fault?.takesAllBack === true
  const places = new Map<string, string>()
  const outcomes = bundleEntries(bundle, wasTransaction).map((entry): EntryOutcome => {
    try {
      const isHit =
        fault !== undefined && (entry.index === fault.at || (fault.andAllAfter && entry.index > fault.at))
      if (isHit) throw new ClinicRefusal(fault.status, 'throttled', 'Not now')
      return processAlone(entry, places, { wasTransaction, isTakenBack }, context)
    } catch (thrown) {
      if (!(thrown instanceof ClinicRefusal)) throw thrown
      return { status: thrown.status, resource: operationOutcome(thrown) }
    }
  })
  return responseBundle(isTakenBack ? 'transaction-response' : 'batch-response', outcomes, represent, context)
}

function processAlone(
  entry: BundleEntry,
  places: Map<string, string>,
  { wasTransaction, isTakenBack }: { readonly wasTransaction: boolean; readonly isTakenBack: boolean },
  context: ClinicContext,
): EntryOutcome {
  if (entry.kind === 'read') {
    return { status: 200, resource: readClinic(entry.path, entry.query, context).resource }
  }
  const { asked, fullUrl } = entry
  const placed = wasTransaction ? withPlaces(asked.resource, places) : asked.resource
  const resource = wasTransaction ? withConditionalReferences(placed, [], context) : placed
  const plan = planWrite({ ...asked, resource }, context)
  checkReferences(resource, new Set([...places.values(), placeOf(plan)]), context)
  const version = plan.kind === 'write' ? written(plan.write, isTakenBack, context) : undefined
  if (fullUrl !== undefined) places.set(fullUrl, placeOf(plan))
  return outcomeOf(plan, version, context)
}

/** The version a write makes; where all is taken back, the one it would have made. */
function written(
  write: PlannedWrite,
  isTakenBack: boolean,
  { kept, request, now }: ClinicContext,
): Version | undefined {
  if (!isTakenBack) return kept.commit([write], request, now())[0]
  const { resourceType: type } = write.resource
  return {
    type,
    id: write.id,
    version: kept.versions(type, write.id).length + 1,
    atMs: now(),
    resource: write.action === 'delete' ? undefined : write.resource,
  }
}

function writesOf(entries: readonly BundleEntry[], method: 'POST' | 'PUT'): readonly WriteEntry[] {
  return entries.filter(
    (entry): entry is WriteEntry => entry.kind === 'write' && entry.asked.method === method,
  )
}

/** Entries that are passed over because another one has the same condition; none where that fails the whole. */
function sameConditions(
  updates: readonly WriteEntry[],
  { sameConditionTwice }: ClinicBehaviour,
): ReadonlySet<number> {
  const seen = new Set<string>()
  const again = updates.flatMap(({ index, asked }) => {
    const identity = `${asked.type}?${asked.condition}`
    if (asked.condition === undefined || !seen.has(identity)) {
      seen.add(identity)
      return []
    }
    return [index]
  })
  if (again.length > 0 && sameConditionTwice === 'refused') throw sameIdentity()
  return new Set(again)
}

/** A resource may be written once only in a transaction. */
function refuseSameIdentity(plans: ReadonlyMap<number, WritePlan>, dropped: ReadonlySet<number>): void {
  const places = [...plans].flatMap(([index, plan]) =>
    plan.kind === 'write' && !dropped.has(index) ? [placeOf(plan)] : [],
  )
  if (new Set(places).size < places.length) throw sameIdentity()
}

function sameIdentity(): ClinicRefusal {
  return new ClinicRefusal(400, 'invariant', 'A resource stands twice in the transaction', 'Bundle.entry')
}

function placeOf(plan: WritePlan): string {
  return plan.kind === 'matched'
    ? `${plan.held.resourceType}/${String(plan.held.id)}`
    : `${plan.write.resource.resourceType}/${plan.write.id}`
}

function outcomeOf(plan: WritePlan, version: Version | undefined, { kept }: ClinicContext): EntryOutcome {
  const newest = plan.kind === 'matched' ? kept.newest(plan.held.resourceType, String(plan.held.id)) : version
  return {
    status: plan.kind === 'matched' ? 200 : plan.status,
    ...(newest === undefined ? {} : { version: newest }),
  }
}

const WORDS: Readonly<Record<number, string>> = { 200: 'OK', 201: 'Created' }

function responseBundle(
  type: 'transaction-response' | 'batch-response',
  outcomes: readonly EntryOutcome[],
  represent: boolean,
  { behaviour, base }: ClinicContext,
): object {
  const entry = outcomes.map(({ status, version, resource }) => {
    const location = version === undefined ? undefined : locationOf(version, behaviour, base)
    const body = version === undefined ? resource : represent ? version.resource : undefined
    const failed = status >= 400
    return {
      ...(body === undefined || failed ? {} : { resource: body }),
      response: {
        status: writtenStatus(status, behaviour),
        ...(location === undefined ? {} : { location }),
        ...(version === undefined || !behaviour.etag ? {} : { etag: `W/"${version.version}"` }),
        ...(version === undefined ? {} : { lastModified: new Date(version.atMs).toISOString() }),
        ...(failed && resource !== undefined ? { outcome: resource } : {}),
      },
    }
  })
  return { resourceType: 'Bundle', type, entry }
}

function writtenStatus(status: number, { entryStatus }: ClinicBehaviour): string {
  const words = WORDS[status] ?? 'Failed'
  if (entryStatus === 'words') return words
  return entryStatus === 'digits' ? String(status) : `${status} ${words}`
}
