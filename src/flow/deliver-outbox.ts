import { instantOf } from '../core/basics/instant.ts'
import type { OutboxEntry, Settlement } from '../core/outbox/entry.ts'
import { settlementFor } from '../core/outbox/next-settlement.ts'
import type { Destination } from '../core/registry/destination.ts'
import { OwnFault } from './own-fault.ts'
import type { Ports } from './ports.ts'
import { renderEntry } from './render-entry.ts'

/** What a round of deliveries came to. */
export interface Delivered {
  readonly settled: number
  /** Resources the clinic's servers made, and those they held already: matched, or brought up to date. */
  readonly created: number
  readonly alreadyThere: number
  readonly waiting: number
  readonly givenUp: number
}

/**
 * Delivers everything that is due: claim, render, post, settle. A patient's entries go one after the other, in the
 * order they were accepted; different patients go side by side.
 */
export async function deliverOutbox(at: Ports): Promise<Delivered> {
  const sum = { settled: 0, created: 0, alreadyThere: 0, waiting: 0, givenUp: 0 }
  const { leaseMs, inFlight } = at.policy.delivery
  for (;;) {
    const claimed = await at.store.claim(at.clock.now(), leaseMs, inFlight)
    if (claimed.length === 0) return sum
    for (const settlement of await Promise.all(claimed.map((entry) => deliver(entry, at)))) {
      if (settlement.state === 'settled') {
        sum.settled += 1
        sum.created += settlement.created
        sum.alreadyThere += settlement.alreadyThere
      } else if (settlement.state === 'waiting') sum.waiting += 1
      else sum.givenUp += 1
    }
  }
}

async function deliver(entry: OutboxEntry, at: Ports): Promise<Settlement> {
  const settlement = await attempt(entry, at)
  await at.store.settle(entry.id, settlement, {
    at: instantOf(at.clock.now()).text,
    actor: 'gateway',
    action: 'delivery-attempted',
    about: entry.about,
    outcome: settlement.state === 'settled' ? 'done' : 'failed',
    detail: {
      destination: entry.destination,
      kind: entry.kind,
      ...(entry.part === undefined ? {} : { part: entry.part }),
      attempt: entry.attempts + 1,
      ...(settlement.state === 'settled'
        ? { created: settlement.created, alreadyThere: settlement.alreadyThere }
        : { state: settlement.state, problem: settlement.problem }),
    },
  })
  if (settlement.state === 'given-up') {
    at.log.warn('delivery-given-up', {
      entry: entry.id,
      destination: entry.destination,
      problem: settlement.problem,
    })
  }
  return settlement
}

async function attempt(entry: OutboxEntry, at: Ports): Promise<Settlement> {
  const destination = at.catalogue.destinations.get(entry.destination)
  if (destination === undefined) return { state: 'given-up', problem: 'UNKNOWN_DESTINATION' }
  const bundle = await rendered(entry, destination, at)
  if (typeof bundle !== 'string') return bundle
  const answer = await at.clinic.postTransaction(destination, bundle)
  return settlementFor(answer, entry.attempts + 1, at.policy.delivery, at.clock.now(), at.random)
}

/** As `renderEntry`, but a fault of ours gives up this entry alone, and says so. */
async function rendered(
  entry: OutboxEntry,
  destination: Destination,
  at: Ports,
): Promise<string | Settlement> {
  try {
    return await renderEntry(entry, destination, at)
  } catch (error) {
    if (!(error instanceof OwnFault)) throw error
    at.log.error('delivery-not-rendered', { entry: entry.id, code: error.code, error: error.message })
    return { state: 'given-up', problem: error.code }
  }
}
