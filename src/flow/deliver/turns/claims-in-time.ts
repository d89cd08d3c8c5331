import type { OutboxEntry } from '../../../core/outbox/entry.ts'
import type { Ports } from '../../ports/ports.ts'
import { ClaimLost } from '../errand/attempt-broken-off.ts'

/** An entry under a claim, whose lease is renewed in good time: before a request, once half of it is used. */
export class ClaimInTime {
  readonly entry: OutboxEntry
  readonly #at: Pick<Ports, 'store' | 'clock' | 'policy'>
  #renewedMs: number
  #isBegun: boolean

  /** @param claimedMs when it was claimed at the latest, epoch ms. */
  constructor(entry: OutboxEntry, claimedMs: number, at: Pick<Ports, 'store' | 'clock' | 'policy'>) {
    this.entry = entry
    this.#at = at
    this.#renewedMs = claimedMs
    this.#isBegun = entry.begun
  }

  /** @throws ClaimLost when the entry is no longer ours. */
  async renew(): Promise<void> {
    const { store, clock, policy } = this.#at
    const { leaseMs } = policy.delivery
    const nowMs = clock.now()
    // By how much, either way: the clock may have been set back.
    if (Math.abs(nowMs - this.#renewedMs) < leaseMs / 2) return
    if (!(await store.extendClaim(this.entry, nowMs, leaseMs))) throw new ClaimLost()
    this.#renewedMs = nowMs
  }

  /**
   * To be called before anything of it is sent that could make something: an entry that does not count as begun yet is
   * marked durably.
   *
   * @throws ClaimLost when the entry is no longer ours.
   */
  async begin(): Promise<void> {
    if (this.#isBegun) return
    if (!(await this.#at.store.begin(this.entry))) throw new ClaimLost()
    this.#isBegun = true
  }

  /** The same as `renew` for an entry that waits for its turn. False when it is no longer ours. */
  async renewOrLeave(): Promise<boolean> {
    try {
      await this.renew()
      return true
    } catch (error) {
      if (error instanceof ClaimLost) return false
      throw error
    }
  }
}
