import { afterEach, beforeEach, describe } from 'vitest'
import type { Store } from '../../src/flow/ports/ports.ts'
import type { TemporaryStore } from '../support/temporary-store.ts'
import { attentionContract } from './store-contract-attention.ts'
import { auditContract } from './store-contract-audit.ts'
import { deliveryContract } from './store-contract-deliveries.ts'
import { keptDeliveryContract } from './store-contract-deliveries-kept.ts'
import { leaseContract } from './store-contract-deliveries-leases.ts'
import { seenDeliveryContract } from './store-contract-deliveries-seen.ts'
import { stuckDeliveryContract } from './store-contract-deliveries-stuck.ts'
import { unheardDeliveryContract } from './store-contract-deliveries-unheard.ts'
import { earlierLinkContract } from './store-contract-earlier-links.ts'
import { followUpContract } from './store-contract-follow-up.ts'
import { mappedContract } from './store-contract-mapped.ts'
import { periodContract } from './store-contract-periods.ts'
import { registryContract } from './store-contract-registry.ts'
import { sessionContract } from './store-contract-sessions.ts'
import { sweepContract } from './store-contract-sweep.ts'
import { versionContract } from './store-contract-versions.ts'
import { waitingContract } from './store-contract-waiting.ts'

/** The store of the running test, and how to restart it. */
export interface UnderTest {
  readonly store: Store
  reopen(): Promise<Store>
}

/**
 * What every adapter of the `Store` port must do. Its destination `clinic` wants readings at once, `later-clinic`
 * does not; both want to hear at once of what asks for attention.
 */
export function describeStore(name: string, create: () => Promise<TemporaryStore>): void {
  describe(`the store contract on ${name}`, () => {
    let current: TemporaryStore
    beforeEach(async () => {
      current = await create()
    })
    afterEach(() => current.remove())
    const at: UnderTest = {
      get store() {
        return current.store
      },
      reopen: () => current.reopen(),
    }
    sessionContract(at)
    versionContract(at)
    mappedContract(at)
    registryContract(at)
    earlierLinkContract(at)
    waitingContract(at)
    periodContract(at)
    deliveryContract(at)
    leaseContract(at)
    stuckDeliveryContract(at)
    keptDeliveryContract(at)
    seenDeliveryContract(at)
    unheardDeliveryContract(at)
    attentionContract(at)
    followUpContract(at)
    sweepContract(at)
    auditContract(at)
  })
}
