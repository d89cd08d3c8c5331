import { LRUCache } from 'lru-cache'
import { groupedBy } from '../../../core/basics/grouped-by.ts'
import type { FhirDestination } from '../../../core/registry/destination.ts'
import { OwnFault } from '../../ports/own-fault.ts'
import type { Ports, Unheard } from '../../ports/ports.ts'
import { renderEntry } from '../../render/render-entry.ts'
import type { RenderedDelivery } from '../../render/rendered-delivery.ts'
import type { Doubts } from './doubts.ts'
import { patientsOf } from './patients-of.ts'

/** Entries whose patients are looked up, for each destination. Common practice: a process has far fewer under way. */
const MOST = 4_096

/** Entries that are rendered to see which monitors they bring, so that no round is held up long. Common practice. */
const MOST_RENDERED = 256

/** Claims of other processes that were looked into. Common practice. */
const MOST_SEEN = 10_000

/** By store; of a store that is not here no round was opened in this process. */
const seenClaims = new WeakMap<Ports['store'], LRUCache<string, true>>()

/**
 * Puts in doubt the patients and monitors of what other processes left: of the first round that is opened, all that nobody
 * heard of, be it that a process died over it; of each later one, what another process is at work on, or died over since.
 * For as long as the entry itself is left alone, and no longer than the quiet time from now on: all of it was sent before.
 *
 * Where there is too much of it to look into, or something can no longer be told, every patient or monitor of its
 * destination is in doubt: but once only, as else busy processes could hold up one another for ever.
 */
export async function takeOverDoubts(doubts: Doubts, at: Ports): Promise<void> {
  const { store, clock, policy, catalogue } = at
  const before = seenClaims.get(store)
  const isFirst = before === undefined
  const seen = before ?? new LRUCache<string, true>({ max: MOST_SEEN })
  const nowMs = clock.now()
  const unheard = await store.unheard(nowMs, MOST + 1, isFirst ? 'all' : 'claimed')
  const endMs = ({ untilMs }: Unheard) => Math.min(untilMs, nowMs + policy.delivery.quietMs)

  let room = MOST_RENDERED
  for (const [name, ofOne] of groupedBy(unheard, ({ entry }) => entry.destination)) {
    const destination = catalogue.destinations.get(name)
    if (destination?.kind !== 'fhir') continue
    const fresh = ofOne.filter(({ entry }) => !seen.has(claimOf(entry)))
    await doubtPatients(fresh)
    const isTooMuch = fresh.length > room
    if (!isTooMuch) room -= fresh.length
    await doubtMonitors(fresh, destination, isTooMuch)
    for (const { entry } of fresh) seen.set(claimOf(entry), true)
  }
  seenClaims.set(store, seen)

  async function doubtPatients(fresh: readonly Unheard[]): Promise<void> {
    const isTooMuch = fresh.length > MOST
    const patients = isTooMuch
      ? []
      : await patientsOf(
          fresh.map(({ entry }) => entry),
          at,
        )
    for (const [index, one] of fresh.entries()) {
      const patient = patients[index]
      if (patient !== undefined) doubts.patients.wentUnheard(one.entry, patient, endMs(one))
      else if (isFirst) doubts.patients.somethingWentUnheard(one.entry.destination, endMs(one))
    }
  }

  async function doubtMonitors(
    fresh: readonly Unheard[],
    destination: FhirDestination,
    isTooMuch: boolean,
  ): Promise<void> {
    for (const one of fresh) {
      const brings = isTooMuch ? undefined : await renderedOrNot(one, destination, at)
      if (brings !== undefined) doubts.monitors.wentUnheard(one.entry, brings, endMs(one))
      else if (isFirst) doubts.monitors.somethingWentUnheard(destination.name, endMs(one))
    }
  }
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

function claimOf({ id, claims }: Unheard['entry']): string {
  return `${id}/${claims}`
}
