import { LRUCache } from 'lru-cache'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import { OwnFault } from '../../ports/own-fault.ts'
import type { Ports, Unheard } from '../../ports/ports.ts'
import { renderEntry } from '../../render/render-entry.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { MonitorsInDoubt } from './monitors-in-doubt.ts'

/** Entries that are rendered to see what they bring, so that no round is held up long. Common practice: a process has fewer. */
const MOST = 256

/** Claims of other processes that were looked into. Common practice. */
const MOST_SEEN = 10_000

/** By store; of a store that is not here no round was opened in this process. */
const seenClaims = new WeakMap<Ports['store'], LRUCache<string, true>>()

/**
 * Puts in doubt the monitors of what other processes left: of the first round that is opened, all that nobody heard of, be it
 * that a process died over it; of each later one, what another process is at work on, or died over since. For as long as the
 * entry itself is left alone, and no longer than the quiet time from now on: all of it was sent before.
 *
 * Where there is too much of it to look into, or something can no longer be rendered, every monitor of its destination is
 * in doubt: but once only, as else busy processes could hold up one another for ever.
 */
export async function takeOverDoubts(doubts: MonitorsInDoubt, at: Ports): Promise<void> {
  const { store, clock, policy, catalogue } = at
  const before = seenClaims.get(store)
  const isFirst = before === undefined
  const seen = before ?? new LRUCache<string, true>({ max: MOST_SEEN })
  const nowMs = clock.now()
  const unheard = await store.unheard(nowMs, MOST + 1, isFirst ? 'all' : 'claimed')
  const endMs = ({ untilMs }: Unheard) => Math.min(untilMs, nowMs + policy.delivery.quietMs)

  let room = MOST
  for (const [name, ofOne] of byDestination(unheard)) {
    const destination = catalogue.destinations.get(name)
    if (destination?.kind !== 'fhir') continue
    const fresh = ofOne.filter(({ entry }) => !seen.has(claimOf(entry)))
    const isTooMuch = fresh.length > room
    if (!isTooMuch) room -= fresh.length
    for (const one of fresh) {
      const brings = isTooMuch ? undefined : await renderedOrNot(one, destination, at)
      if (brings !== undefined) doubts.wentUnheard(one.entry, brings, endMs(one))
      else if (isFirst) doubts.somethingWentUnheard(name, endMs(one))
    }
    for (const { entry } of fresh) seen.set(claimOf(entry), true)
  }
  seenClaims.set(store, seen)
}

/** Undefined where it can no longer be told what was sent of it. */
async function renderedOrNot(
  { entry }: Unheard,
  destination: FhirDestination,
  at: Ports,
): Promise<RenderedDelivery | undefined> {
  try {
    const rendered = await renderEntry(entry, destination, at)
    return 'state' in rendered ? undefined : rendered
  } catch (error) {
    // It is told, and given up, when its turn comes.
    if (error instanceof OwnFault) return undefined
    throw error
  }
}

function byDestination(unheard: readonly Unheard[]): ReadonlyMap<string, readonly Unheard[]> {
  const found = new Map<string, Unheard[]>()
  for (const one of unheard) {
    const ofOne = found.get(one.entry.destination)
    if (ofOne === undefined) found.set(one.entry.destination, [one])
    else ofOne.push(one)
  }
  return found
}

function claimOf({ id, claims }: Unheard['entry']): string {
  return `${id}/${claims}`
}
