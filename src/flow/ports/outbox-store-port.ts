import type { AuditEntry } from '../../core/audit/audit-entry.ts'
import type { ErrorCode } from '../../core/basics/error-codes.ts'
import type { Route } from '../../core/exchange/route/route.ts'
import type {
  Claim,
  ClinicSaid,
  DeliveredFrom,
  DeliveredOf,
  HeldResource,
  OutboxEntry,
  OutboxState,
  Settlement,
} from '../../core/outbox/entry.ts'
import type { Page } from './page.ts'

/** What a claim leaves out, and how it is meant. */
export interface ClaimAsked {
  /** Destinations that nothing is taken for. */
  readonly resting?: readonly string[]
  /**
   * Destinations whose entries are marked with `begin` before anything of them is sent; an entry of any other counts as
   * begun when it is claimed.
   */
  readonly marked?: readonly string[]
  /**
   * The longest that any entry is left alone: one that is due later than that from now on is due, for it was put off or
   * claimed while the clock was ahead.
   */
  readonly longestWaitMs?: number
}

/** The part of the store that deliveries live in. What is promised of every method is written at `Store`. */
export interface OutboxStore {
  /**
   * Takes entries that are due, urgent ones first, then those that are due longest; at most one per destination and
   * patient, skipping patients of whom one is claimed or parked already, and destinations that rest. A claim not settled
   * before its lease ends is taken again: the process that held it died. It is uncertain then, if it was begun.
   * Concurrent calls of this and the four below share one commit, and take effect in the order they were made.
   */
  claim(nowMs: number, leaseMs: number, limit: number, asked?: ClaimAsked): Promise<readonly OutboxEntry[]>
  /** Prolongs a claim that is still held. False when it is not: its lease ended and the entry was taken again. */
  extendClaim(claim: Claim, nowMs: number, leaseMs: number): Promise<boolean>
  /** Marks an entry as begun, as long as its claim is still held. False when it is not: nothing of it may be sent. */
  begin(claim: Claim): Promise<boolean>
  /**
   * Entries that a destination may have been sent without anyone having heard what became of them, as far as they are left
   * alone beyond `nowMs`: those that a process began and has not settled and, of `all`, those that are uncertain. At most
   * `limit` of either kind for each destination, those that are left alone longest.
   */
  unheard(nowMs: number, limit: number, which: 'all' | 'claimed'): Promise<readonly Unheard[]>
  /**
   * Writes what an attempt came to, what was said and what is held since, with its audit row, whose moment it is. A settled
   * entry keeps nothing of what was said before.
   *
   * An answer that comes when the claim is no longer held leaves the entry to whoever has it now, but for two things
   * that are true all the same: that the destination has it, and that something may have been made without being heard
   * of. Rejects for an entry that does not exist.
   */
  settle(claim: Claim, settlement: Settlement, audit: AuditEntry): Promise<void>
  /** Remembers what a destination holds, while the attempt that made it goes on. */
  keepHeld(from: DeliveredFrom, held: readonly HeldResource[]): Promise<void>
  /**
   * By UUID, those of the asked ones that a destination is known to hold: monitors, and what was delivered of any of
   * these.
   */
  held(
    destination: string,
    of: readonly DeliveredOf[],
    uuids: readonly string[],
  ): Promise<ReadonlyMap<string, HeldResource>>
  /** Forgets what a destination is known to hold: the name stands for another server now. */
  forgetHeld(destination: string): Promise<void>
  /** What is not settled there may be there already: from now on it is uncertain. */
  doubtOpen(destination: string): Promise<void>

  /** One entry with all that is known about it: what it waits behind is looked for here, and in no list. */
  delivery(id: number): Promise<Delivery | undefined>
  /** Codes of the calls for attention that a destination was ever queued about a session. */
  queuedCalls(destination: string, session: string): Promise<readonly string[]>
  /**
   * Queues the newest version of a session for the calls that rest on it, and none of its readings; not where that version
   * is queued by itself. Again changes nothing.
   */
  queueCallsOn(session: string, destination: string, nowMs: number): Promise<void>
  /** Oldest first. */
  deliveryPage(page: Page & DeliveryFilter): Promise<readonly OutboxEntry[]>
  /** By destination, of everything queued. */
  deliverySummary(): Promise<readonly DestinationSummary[]>
  /** What is ahead of a destination's entries that are not settled. */
  deliveryOutlook(destination: string): Promise<DeliveryOutlook>
  /**
   * Puts entries that are given up or parked back in the queue, due now. Their attempts start anew; what is uncertain
   * stays so, but for an outcome that was left to a person as unknown and is meant by its number or by that problem:
   * who does that has looked, and it is not there. Many are put back some at a time, the oldest first, and recorded once,
   * with the first of them. Returns how many; 0 records nothing.
   */
  retryDeliveries(
    which: DeliveryFilter & { readonly id?: number },
    nowMs: number,
    audit: AuditEntry,
  ): Promise<number>
  /**
   * A person saw the thing in the clinic's record: a given-up or parked entry is settled, as of the audit entry, and what
   * it was to bring is kept as held, unless it is known already. False when there is none such.
   */
  confirmDelivery(id: number, held: readonly HeldResource[], audit: AuditEntry): Promise<boolean>
  /**
   * Removes what clinics said about entries last tried before a moment. The entries stay: they are what keeps things from
   * being sent twice.
   */
  forgetSaid(beforeMs: number): Promise<number>

  /** What is known of the way to a destination; undefined for nothing yet. */
  route(destination: string): Promise<Route | undefined>
  routes(): Promise<readonly Route[]>
  /** Replaces it. With an audit entry when it is an act: a stop, a resumption, another rung. */
  saveRoute(route: Route, audit?: AuditEntry): Promise<void>
}

export interface Unheard {
  readonly entry: OutboxEntry
  /** When it is due, or the lease of its newest claim ends or ended, epoch ms. */
  readonly untilMs: number
}

/** Which deliveries are meant; each key narrows. */
export interface DeliveryFilter {
  readonly state?: OutboxState
  readonly destination?: string
  readonly source?: string
  readonly kind?: OutboxEntry['kind']
  readonly problem?: string
  /** Queued before this moment, epoch ms. */
  readonly queuedBeforeMs?: number
}

/** An entry with what is known about it beside. */
export interface Delivery extends OutboxEntry {
  /** What the clinic last said about it. */
  readonly said?: ClinicSaid
  /** While it waits, the entry of the same patient and destination that has to go, or to be let go, before it. */
  readonly behind?: Pick<OutboxEntry, 'id' | 'state' | 'lastProblem'>
  /**
   * What the destination is known to hold by attempts at it, as far as anything is known by now; but for monitors, which
   * people may share.
   */
  readonly held: readonly HeldResource[]
}

export interface DeliveryOutlook {
  /** How many wait behind another of their patient, which goes first or is parked. */
  readonly behind: number
  /** When the first of the others that wait is due, epoch ms; absent when there is none. */
  readonly dueMs?: number
  /** How many are parked or given up for which problem, most first. */
  readonly stuck: readonly {
    readonly state: OutboxState
    readonly problem: ErrorCode
    readonly entries: number
  }[]
}

export interface DestinationSummary {
  readonly destination: string
  readonly entries: Readonly<Record<OutboxState, number>>
  /** When the oldest entry that is not settled was queued, epoch ms; absent when all are. */
  readonly oldestQueuedMs?: number
}
