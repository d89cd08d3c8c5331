import { afterEach, beforeEach, describe } from 'vitest'
import type { Store } from '../../src/flow/ports.ts'
import type { TemporaryStore } from '../support/temporary-store.ts'
import { auditContract } from './store-contract-audit.ts'
import { deliveryContract } from './store-contract-deliveries.ts'
import { periodContract } from './store-contract-periods.ts'
import { registryContract } from './store-contract-registry.ts'
import { sessionContract } from './store-contract-sessions.ts'

/** The store of the running test, and how to restart it. */
export interface UnderTest {
  readonly store: Store
  reopen(): Promise<Store>
}

/**
 * What every adapter of the `Store` port must do. Its destination `clinic` wants readings at once, `later-clinic`
 * does not.
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
    registryContract(at)
    periodContract(at)
    deliveryContract(at)
    auditContract(at)
  })
}
