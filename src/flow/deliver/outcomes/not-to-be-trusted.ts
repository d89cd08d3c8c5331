import type { Ending, Errand } from '../errand/course.ts'

/**
 * What a transaction comes to at a server whose conditions are not to be relied on. Where the operator named the rung there
 * is no other: nothing more is sent until they have changed one or the other.
 */
export function notToBeTrusted({ destination }: Pick<Errand, 'destination'>): Ending {
  const kind = destination.rung === 'transaction' ? 'stop' : 'not-offered'
  return { kind, problem: 'CLINIC_IGNORES_CONDITIONS' }
}
