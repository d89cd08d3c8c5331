import { isDeepStrictEqual } from 'node:util'
import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import { versionedUpdate } from '../../../core/exchange/asked/write-request.ts'
import type { ResourcePlace } from '../../../core/exchange/fhir-exchange.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { endingOf } from '../errand/ending-of.ts'
import { findCurrent } from '../looks/find-current.ts'

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
    const current = await findCurrent(sent, errand, by)
    if (current.kind === 'cannot-look') return { kind: 'cannot-update' }
    if (current.kind !== 'found') return current
    const { place, resource } = current.match
    const request = versionedUpdate(sent, place, resource)
    if (saysTheSame(request.body, resource)) return { kind: 'same', place }
    if (!mayUpdate(errand, sent)) return { kind: 'cannot-update', place }
    const verdict = writeVerdict(await by.write(request), 'update')
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

/** Whether the server's statement allows an update; one that says nothing is asked by trying. */
export function mayUpdate({ route }: Pick<Errand, 'route'>, { type }: SentResource): boolean {
  return route.abilities === undefined || route.abilities.types[type].update
}

/** Whether what would be written is what is there, but for what the server itself notes about a resource. */
function saysTheSame(body: string | undefined, current: unknown): boolean {
  if (body === undefined) return false
  return isDeepStrictEqual(withoutServerNotes(JSON.parse(body)), withoutServerNotes(current))
}

function withoutServerNotes(resource: unknown): unknown {
  if (typeof resource !== 'object' || resource === null) return resource
  const { meta, ...rest } = { meta: undefined, ...resource }
  if (typeof meta !== 'object' || meta === null) return rest
  const {
    versionId: _,
    lastUpdated: __,
    source: ___,
    ...ours
  } = {
    versionId: undefined,
    lastUpdated: undefined,
    source: undefined,
    ...(meta as object),
  }
  return Object.keys(ours).length === 0 ? rest : { ...rest, meta: ours }
}
