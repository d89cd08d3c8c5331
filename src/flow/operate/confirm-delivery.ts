import { instantOf } from '../../core/basics/instant.ts'
import { unknownRoute } from '../../core/exchange/route/route.ts'
import { sentResources } from '../../core/exchange/sent-resource.ts'
import { ownUuid } from '../../core/hl7v2/observation-segments.ts'
import { reportedIn } from '../../core/hl7v2/oru-message.ts'
import type { HeldResource, OutboxEntry } from '../../core/outbox/entry.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import { deliveredOf } from '../deliver/errand/delivered-of.ts'
import { mayUpdate } from '../deliver/looks/sendable-resources.ts'
import { replacementAt, revisionOf } from '../deliver/writes/replacements.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { renderEntry } from '../render/render-entry.ts'
import type { RenderedDelivery } from '../render/rendered-delivery.ts'
import { type Steered, steerDelivery } from './steer-delivery.ts'

/**
 * A person saw in the clinic's record what a given-up or parked delivery was to bring: it is settled, and what it was to
 * bring counts as held from then on, so that no other delivery brings it again.
 */
export async function confirmDelivery(id: number, actor: string, at: Ports): Promise<Steered> {
  const audit = {
    at: instantOf(at.clock.now()).text,
    actor,
    action: 'delivery-confirmed',
    about: String(id),
    outcome: 'done',
    detail: {},
  } as const
  return steerDelivery(id, 'confirm', at, async (entry) =>
    at.store.confirmDelivery(id, await broughtBy(entry, at), audit),
  )
}

/** What an entry was to bring, under ids nobody was told; nothing where that can no longer be said. */
async function broughtBy(entry: OutboxEntry, at: Ports): Promise<readonly HeldResource[]> {
  const destination = at.catalogue.destinations.get(entry.destination)
  if (destination === undefined) return []
  try {
    const rendered = await renderEntry(entry, destination, at, (uuid) => asQueued(uuid, entry, at))
    if ('state' in rendered) return []
    return destination.kind === 'fhir'
      ? await broughtToServer(entry, rendered, destination, at)
      : reportedIn(rendered.bundle, destination).map((one) => ({ uuid: ownUuid(one), type: 'Observation' }))
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    return []
  }
}

/** Where the server takes no update, what it holds already was sent as new. */
async function broughtToServer(
  entry: OutboxEntry,
  rendered: RenderedDelivery,
  { name, cannotUpdate }: FhirDestination,
  at: Ports,
): Promise<readonly HeldResource[]> {
  const all = sentResources(rendered.bundle)
  const keys = new Map(all.map((sent) => [sent.uuid, sent]))
  const route = (await at.store.route(name)) ?? unknownRoute(name)
  const of = await deliveredOf(entry, rendered, at)
  const held = await at.store.held(name, of, [...keys.keys()])
  return all.map((sent) => {
    const isAsNew = sent.intent === 'update' && held.has(sent.uuid) && !mayUpdate({ route }, sent)
    const revision = isAsNew && cannotUpdate === 'send-as-new' ? revisionOf(sent, keys) : undefined
    const { uuid, type } = revision === undefined ? sent : replacementAt(sent, revision.uuid)
    return { uuid, type }
  })
}

/** A session as it was when the entry was queued: what changed since has an entry of its own, which nobody confirmed. */
async function asQueued(
  uuid: string,
  { queuedMs }: OutboxEntry,
  { store }: Pick<Ports, 'store'>,
): Promise<StoredSession | undefined> {
  const versions = await store.sessionVersions(uuid)
  return versions.findLast(({ receivedAt }) => Date.parse(receivedAt) <= queuedMs) ?? versions[0]
}
