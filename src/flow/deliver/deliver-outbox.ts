import type { OutboxEntry, Settlement } from '../../core/outbox/entry.ts'
import { longestWaitMs } from '../../core/outbox/put-off.ts'
import type { Ports } from '../ports/ports.ts'
import { attemptDelivery } from './attempt-delivery.ts'
import { openRound } from './delivery-round.ts'
import { markedDestinations } from './route/marked-destinations.ts'
import { ClaimInTime } from './turns/claims-in-time.ts'
import { DeliveryPool } from './turns/delivery-pool.ts'
import { PreparedEntry } from './turns/prepared-entry.ts'

/** What a round of deliveries came to. */
export interface Delivered {
  readonly settled: number
  /** Resources the clinics' servers made, those they held already, and those they brought up to date. */
  readonly created: number
  readonly alreadyThere: number
  readonly updated: number
  readonly waiting: number
  readonly parked: number
  readonly givenUp: number
}

/**
 * Delivers everything that is due: claim, render, bring, settle. A patient's entries go one after the other, in the order
 * they were accepted; different patients go side by side, up to as many as the policy allows. Nothing is sent to
 * destinations that rest or are stopped.
 *
 * @param stopping once it is aborted nothing more is begun; what was claimed ahead is left to the next start.
 * @throws StoreFailed when the store fails; what was under way is claimed again when its lease has ended.
 */
export async function deliverOutbox(at: Ports, stopping?: AbortSignal): Promise<Delivered> {
  const round = await openRound(at)
  const sum = { settled: 0, created: 0, alreadyThere: 0, updated: 0, waiting: 0, parked: 0, givenUp: 0 }
  const { leaseMs, inFlight } = at.policy.delivery
  const latestMs = longestWaitMs(at.policy.delivery, leaseMs)

  const pool = new DeliveryPool<Turn>({
    size: inFlight,
    destinations: at.catalogue.destinations.size,
    destinationOf: ({ claim }) => claim.entry.destination,
    async claim(limit, busy) {
      if (stopping?.aborted === true) return []
      const nowMs = at.clock.now()
      const resting = [...at.clinic.resting(), ...at.receivers.resting(), ...round.routes.stopped(), ...busy]
      const marked = markedDestinations(at, round.routes)
      const asked = { resting, marked, longestWaitMs: latestMs }
      const claimed = await at.store.claim(nowMs, leaseMs, limit, asked)
      return claimed.map((entry) => ({
        claim: new ClaimInTime(entry, nowMs, at),
        prepared: new PreparedEntry(entry, at),
      }))
    },
    makeReady: ({ prepared }) => prepared.renderAhead(),
    attempt: async ({ claim, prepared }) => {
      if (stopping?.aborted === true) return undefined
      const attempt = await attemptDelivery(claim, prepared, round)
      if (attempt === undefined) return undefined
      const { settlement, audit } = attempt
      return async () => {
        await at.store.settle(claim.entry, settlement, audit)
        count(sum, settlement)
        tell(claim.entry, settlement, at)
      }
    },
    keep: ({ claim }) => claim.renewOrLeave(),
    refresh: () => round.routes.refresh(),
  })
  await pool.run()
  return sum
}

/** An entry that waits for its turn. */
interface Turn {
  readonly claim: ClaimInTime
  readonly prepared: PreparedEntry
}

type Sum = { -readonly [Key in keyof Delivered]: number }

function count(sum: Sum, settlement: Settlement): void {
  switch (settlement.state) {
    case 'settled':
      sum.settled += 1
      sum.created += settlement.created
      sum.alreadyThere += settlement.alreadyThere
      sum.updated += settlement.updated
      break
    case 'waiting':
      sum.waiting += 1
      break
    case 'parked':
      sum.parked += 1
      break
    case 'given-up':
      sum.givenUp += 1
  }
}

/** What a person has to look at is told as it happens. Doubles in a clinic's record are the worst of it. */
function tell({ id, destination }: OutboxEntry, settlement: Settlement, { log }: Ports): void {
  if (settlement.state !== 'given-up' && settlement.state !== 'parked') return
  const fields = { entry: id, destination, problem: settlement.problem }
  const event = settlement.state === 'parked' ? 'delivery-parked' : 'delivery-given-up'
  if (settlement.problem === 'CLINIC_DUPLICATES') log.error(event, fields)
  else log.warn(event, fields)
}
