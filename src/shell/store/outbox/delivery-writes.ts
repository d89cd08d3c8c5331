import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Claim, DeliveredFrom, OutboxEntry, Settlement } from '../../../core/outbox/entry.ts'
import type { AuditRows } from '../audit/audit-rows.ts'
import type { ClinicSaidRows } from './clinic-said-rows.ts'
import type { DueHeads } from './due-heads.ts'
import type { HeldRows } from './held-rows.ts'
import type { OutboxRows } from './outbox-rows.ts'
import type { WrittenHeld } from './written-held.ts'

/** The calls of the port that delivering consists of; many of them share one commit. */
export type DeliveryWrite =
  | {
      readonly call: 'claim'
      readonly nowMs: number
      readonly leaseMs: number
      readonly limit: number
      readonly resting: readonly string[]
      readonly marked: readonly string[]
      readonly longestWaitMs: number
    }
  | {
      readonly call: 'extendClaim'
      readonly claim: Claim
      readonly nowMs: number
      readonly leaseMs: number
    }
  | { readonly call: 'begin'; readonly claim: Claim }
  | {
      readonly call: 'settle'
      readonly claim: Claim
      /** What is held stands in `held`. */
      readonly settlement: Settlement
      readonly held: WrittenHeld
      readonly audit: AuditEntry
    }
  | {
      readonly call: 'keepHeld'
      readonly from: DeliveredFrom
      readonly held: WrittenHeld
    }

type Settling = Extract<DeliveryWrite, { readonly call: 'settle' }>

export interface Written {
  /** What `claim` took; empty for the others. */
  readonly claimed: readonly OutboxEntry[]
  /** For `extendClaim` and `begin`, whether the claim was still held; true for the others. */
  readonly done: boolean
}

/** What these calls touch. */
export interface DeliveringParts {
  readonly heads: DueHeads
  readonly outbox: OutboxRows
  readonly said: ClinicSaidRows
  readonly held: HeldRows
  readonly audit: AuditRows
}

/** Does one of them. Runs inside a transaction. */
export function writeDelivery(write: DeliveryWrite, parts: DeliveringParts): Written {
  switch (write.call) {
    case 'claim':
      return {
        claimed: parts.heads.claim(write),
        done: true,
      }
    case 'extendClaim':
      return { claimed: [], done: parts.outbox.prolong(write.claim, write.nowMs + write.leaseMs) }
    case 'begin':
      return { claimed: [], done: parts.outbox.begin(write.claim) }
    case 'settle':
      settle(write, parts)
      return { claimed: [], done: true }
    case 'keepHeld':
      parts.held.save(write.from, write.held)
      return { claimed: [], done: true }
  }
}

/**
 * What a destination is known to hold is kept even of a late answer, unless something is known of it already: that may
 * be newer. What was said late is not kept.
 */
function settle({ claim, settlement, held, audit }: Settling, parts: DeliveringParts): void {
  const nowMs = Date.parse(audit.at)
  const { before, after } = parts.outbox.settle(claim, settlement, nowMs)
  const heldNow = before.state === 'claimed' && before.claims === claim.claims
  if (heldNow) parts.held.save(before, held)
  else parts.held.add(before, held)
  if (after?.state === 'settled') {
    // Where nothing went wrong before, nothing was kept of what was said.
    if (before.lastProblem !== undefined) parts.said.remove(claim.id)
  } else if (heldNow) parts.said.tried(claim.id, nowMs, settlement.said)
  parts.audit.append(audit)
}
