import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import { StoreFailed } from '../../core/basics/gateway-error.ts'
import { instantOf } from '../../core/basics/instant.ts'
import type { SentType } from '../../core/exchange/route/abilities.ts'
import type { ClinicSaid, OutboxEntry, Settlement } from '../../core/outbox/entry.ts'
import type { FhirDestination } from '../../core/registry/destination.ts'
import type { Rung } from '../../core/registry/rung.ts'
import { faultText } from '../ports/own-fault.ts'
import type { RenderedDelivery } from '../render/rendered-delivery.ts'
import { type Climbed, climbLadder } from './climb-ladder.ts'
import { messageCourse } from './courses/message.ts'
import type { DeliveryRound } from './delivery-round.ts'
import { ClaimLost, NothingSent } from './errand/attempt-broken-off.ts'
import { deliveredOf } from './errand/delivered-of.ts'
import { HeldLedger } from './errand/held-ledger.ts'
import { settlementOf } from './settlement-of.ts'
import type { ClaimInTime } from './turns/claims-in-time.ts'
import { isRelinked } from './turns/is-relinked.ts'
import { PreparedEntry } from './turns/prepared-entry.ts'

/** What one attempt came to, ready to be settled. */
export interface Attempt {
  readonly settlement: Settlement
  readonly audit: AuditEntry
}

/**
 * One attempt at an entry: what it has to say now is rendered and brought to its destination. Undefined when another
 * process has the entry meanwhile: it settles it.
 *
 * A fault of ours concerns this entry alone: it is given up, and says so. Only a store that fails ends the round.
 */
export async function attemptDelivery(
  claim: ClaimInTime,
  prepared: PreparedEntry,
  round: DeliveryRound,
): Promise<Attempt | undefined> {
  const { entry } = claim
  try {
    await claim.renew()
    const { settlement, ...how } = await attempt(claim, prepared, round)
    return { settlement, audit: auditOf(entry, settlement, how, round.at.clock.now()) }
  } catch (error) {
    if (error instanceof ClaimLost) {
      round.at.log.warn('delivery-claim-lost', { entry: entry.id, destination: entry.destination })
      return undefined
    }
    if (error instanceof StoreFailed) throw error
    const { id, destination } = entry
    round.at.log.error('delivery-failed', { entry: id, destination, error: faultText(error) })
    // Nobody knows how far it came.
    const settlement = { state: 'given-up', problem: 'UNEXPECTED', uncertain: true } as const
    return { settlement, audit: auditOf(entry, settlement, {}, round.at.clock.now()) }
  }
}

interface Outcome extends How {
  readonly settlement: Settlement
}

/** On which rung it went, and the types of what was left out. */
interface How {
  readonly rung?: Rung
  readonly leftOut?: readonly SentType[]
}

async function attempt(claim: ClaimInTime, prepared: PreparedEntry, round: DeliveryRound): Promise<Outcome> {
  const { entry } = claim
  const { uncertain } = entry
  const { at } = round
  const destination = at.catalogue.destinations.get(entry.destination)
  if (destination === undefined) {
    return { settlement: { state: 'given-up', problem: 'UNKNOWN_DESTINATION', uncertain } }
  }
  const { stopped } = round.routes.get(destination.name)
  if (stopped !== undefined) {
    // Another delivery was told so after this one was claimed.
    const result = { kind: 'stop', problem: stopped.problem } as const
    return { settlement: settlementOf(result, entry, {}, at) }
  }
  const rendered = await prepared.rendered(destination)
  if ('state' in rendered) return { settlement: rendered }

  const ledger = new HeldLedger(entry, () => deliveredOf(entry, rendered, at), at.store)
  const deliver = (): Promise<Brought> =>
    destination.kind === 'fhir'
      ? bringToServer(claim, destination, rendered, ledger, round)
      : sentOrNot(async () => ({
          result:
            (await round.routes.meet(destination)) ??
            (await messageCourse(claim, destination, rendered, ledger, at)),
        }))
  const climbed = await round.monitors.alone(
    destination.name,
    rendered,
    async () => ((await isRelinked(entry, rendered, at)) ? undefined : deliver()),
    (one) => one?.result.kind === 'done',
  )
  if (climbed === undefined) return attempt(claim, new PreparedEntry(entry, at), round)
  const { result, rung, said } = climbed
  if (rendered.lookedFor === true && result.kind === 'done') {
    await ledger.keep()
    return attempt(claim, new PreparedEntry({ ...entry, uncertain: false }, at), round)
  }
  if (result.kind === 'stop') await round.routes.stop(destination.name, result.problem)
  const held = ledger.gained
  const learnt = { ...(said === undefined ? {} : { said }), ...(held.length === 0 ? {} : { held }) }
  const settlement = settlementOf(result, { ...entry, uncertain: uncertain || ledger.isInDoubt }, learnt, at)
  const leftOut = result.kind === 'done' ? result.leftOut : undefined
  return {
    settlement,
    ...(rung === undefined ? {} : { rung }),
    ...(leftOut === undefined ? {} : { leftOut }),
  }
}

/** What came of a delivery, and what the clinic said where it was not taken. */
type Brought = Climbed & { readonly said?: ClinicSaid }

/** Up the ladder, once no other entry may still be making something of the same there. */
async function bringToServer(
  claim: ClaimInTime,
  destination: FhirDestination,
  rendered: RenderedDelivery,
  ledger: HeldLedger,
  round: DeliveryRound,
): Promise<Brought> {
  const wait = await round.doubts.waitFor(claim.entry, rendered, ledger)
  if (wait !== undefined) return { result: { kind: 'not-now', ...wait, untried: true } }
  let brought: Brought | undefined
  try {
    brought = await sentOrNot(() => climbLadder(claim, destination, rendered, ledger, round))
    return brought
  } finally {
    round.doubts.ended(claim.entry, rendered, brought?.result, ledger)
  }
}

/** What came of a delivery; a request that could not leave ends it without any doubt. */
async function sentOrNot(deliver: () => Promise<Climbed>): Promise<Brought> {
  try {
    const climbed = await deliver()
    const { result } = climbed
    return result.kind === 'done' || result.said === undefined ? climbed : { ...climbed, said: result.said }
  } catch (error) {
    if (!(error instanceof NothingSent)) throw error
    const { problem, retryAfterMs, untried, stop } = error.answer
    if (stop === true) return { result: { kind: 'stop', problem } }
    return {
      result: {
        kind: 'not-now',
        problem,
        ...(retryAfterMs === undefined ? {} : { retryAfterMs }),
        ...(untried === undefined ? {} : { untried }),
      },
    }
  }
}

function auditOf(
  { about, destination, kind, part, attempts }: OutboxEntry,
  settlement: Settlement,
  { rung, leftOut }: How,
  nowMs: number,
): AuditEntry {
  const { state } = settlement
  return {
    at: instantOf(nowMs).text,
    actor: 'gateway',
    action: 'delivery-attempted',
    about,
    outcome: state === 'settled' ? 'done' : 'failed',
    detail: {
      destination,
      kind,
      ...(part === undefined ? {} : { part }),
      attempt: attempts + 1,
      ...(rung === undefined ? {} : { rung }),
      ...(leftOut === undefined ? {} : { leftOut: leftOut.join(', ') }),
      ...(state === 'settled'
        ? { created: settlement.created, alreadyThere: settlement.alreadyThere, updated: settlement.updated }
        : { state, problem: settlement.problem }),
    },
  }
}
