import { StoreFailed } from '../../src/core/basics/gateway-error.ts'
import type { Store } from '../../src/flow/ports/ports.ts'

/** A store whose process can die, after which nothing reaches the file until another one begins. */
export interface MortalStore {
  readonly around: (store: Store) => Store
  die(): void
  beginAgain(): void
}

/** What its calls fail with. */
export const DIED = 'the process died'

export function mortalStore(): MortalStore {
  let died = false
  const dead = () => Promise.reject(new StoreFailed(DIED))
  const unlessDied = { get: (of: Store, name: keyof Store) => (died ? dead : of[name]) }
  return {
    around: (store) => new Proxy({ ...store }, unlessDied as ProxyHandler<Store>),
    die: () => {
      died = true
    },
    beginAgain: () => {
      died = false
    },
  }
}
