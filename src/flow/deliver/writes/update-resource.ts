import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { endingOf } from '../errand/ending-of.ts'
import { findCurrent } from '../looks/find-current.ts'
import { wayOfUpdating } from './way-of-updating.ts'

/** How often an update is tried whose version was overtaken by another writer. */
export const TRIES = 3

export type Updated =
  /** `same`: the server holds just this already. */
  | { readonly kind: 'updated' | 'same'; readonly place: ResourcePlace }
  | { readonly kind: 'absent' }
  /** The server takes no update, or cannot be asked what there is to update. */
  | { readonly kind: 'cannot-update'; readonly place?: ResourcePlace }
  | Ending

/**
 * Brings a resource up to date: reads what is there, and writes ours in its place unless someone else was quicker, in
 * which case both are done again.
 * Source: FHIR R4 4.0.1 http.html, managing resource contention.
 *
 * @param sent with its references placed.
 */
export async function updateResource(sent: SentResource, errand: Errand, by: Means): Promise<Updated> {
  for (let tries = 1; tries <= TRIES; tries += 1) {
    const way = wayOfUpdating(sent, await findCurrent(sent, errand, by), errand, by)
    if (way.kind === 'make') return { kind: 'absent' }
    if (way.kind !== 'update') return way
    const { place } = way
    const verdict = writeVerdict(await by.write(way.request), 'update')
    switch (verdict.kind) {
      case 'done': {
        const version = verdict.outcomes[0]?.place?.version
        return {
          kind: 'updated',
          place: { type: place.type, id: place.id, ...(version === undefined ? {} : { version }) },
        }
      }
      case 'stale':
      case 'look':
        by.ledger.addAt(sent, { id: place.id })
        continue
      case 'not-offered':
        return { kind: 'cannot-update', place }
      default:
        return endingOf(verdict)
    }
  }
  return { kind: 'not-now', problem: 'CLINIC_BUSY' }
}
