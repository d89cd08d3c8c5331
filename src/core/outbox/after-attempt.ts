import type { Claim, OutboxEntry, Settlement } from './entry.ts'
import { giveUpEntry } from './give-up-entry.ts'
import { parkEntry } from './park-entry.ts'
import { putOffEntry } from './put-off-entry.ts'
import { settleEntry } from './settle-entry.ts'

/**
 * The entry after an attempt. Undefined when nothing of it changes.
 *
 * An answer that comes when the claim is no longer held, because its lease ended and another process took the entry or
 * finished it, leaves the entry as it is, but for two things that are true all the same: that the destination has it,
 * and that something may have been made without being heard of.
 *
 * @param nowMs when the attempt was heard of, epoch ms.
 */
export function afterAttempt(
  entry: OutboxEntry,
  claim: Claim,
  settlement: Settlement,
  nowMs: number,
): OutboxEntry | undefined {
  if (settlement.state === 'settled') return settleEntry(entry, nowMs)
  if (!holds(claim, entry)) {
    const doubts = settlement.uncertain && !entry.uncertain && entry.state !== 'settled'
    return doubts ? { ...entry, uncertain: true } : undefined
  }
  switch (settlement.state) {
    case 'waiting':
      return putOffEntry(entry, settlement)
    case 'parked':
      return parkEntry(entry, settlement)
    case 'given-up':
      return giveUpEntry(entry, settlement)
  }
}

/** Whether a claim is still the one that holds an entry. */
export function holds(claim: Claim, entry: OutboxEntry): boolean {
  return entry.id === claim.id && entry.state === 'claimed' && entry.claims === claim.claims
}
