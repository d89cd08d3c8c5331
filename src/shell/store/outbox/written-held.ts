import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import type { HeldResource } from '../../../core/outbox/entry.ts'

/**
 * What was learnt of an entry, as it goes to the thread that keeps it: what is about its subject as the JSON text it is
 * kept in, which costs less on the way than its objects.
 */
export interface WrittenHeld {
  /** Monitors, which people may share. */
  readonly shared: readonly HeldResource[]
  /** A list of the others; absent for none. */
  readonly own?: string
}

/** @throws StoreFailed for what has no UUID. */
export function writtenHeld(held: readonly HeldResource[]): WrittenHeld {
  if (!held.every(({ uuid }) => UUID.test(uuid))) throw new StoreFailed('what is held is known by a UUID')
  const own = held.filter(({ type }) => type !== 'Device')
  const shared = own.length === held.length ? [] : held.filter(({ type }) => type === 'Device')
  return own.length === 0 ? { shared } : { shared, own: JSON.stringify(own) }
}

const UUID = /^[0-9a-f-]{36}$/

export function heldIn(own: string | undefined): readonly HeldResource[] {
  return own === undefined ? [] : JSON.parse(own)
}
