import { instantOf } from '../../core/basics/instant.ts'
import { sentResources } from '../../core/exchange/sent-resource.ts'
import { ownUuid } from '../../core/hl7v2/observation-segments.ts'
import { reportedIn } from '../../core/hl7v2/oru-message.ts'
import type { HeldResource, OutboxEntry } from '../../core/outbox/entry.ts'
import { OwnFault } from '../ports/own-fault.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { renderEntry } from '../render/render-entry.ts'
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
      ? sentResources(rendered.bundle).map(({ uuid, type }) => ({ uuid, type }))
      : reportedIn(rendered.bundle, destination).map((one) => ({ uuid: ownUuid(one), type: 'Observation' }))
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    return []
  }
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
