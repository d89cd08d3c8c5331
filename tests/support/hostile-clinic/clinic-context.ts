import type { ClinicBehaviour } from './clinic-behaviour.ts'
import type { KeptResources } from './kept-resources.ts'

/** What one request is served with. */
export interface ClinicContext {
  readonly kept: KeptResources
  readonly behaviour: ClinicBehaviour
  /** Base URL without a trailing slash. */
  readonly base: string
  readonly now: () => number
  /** Number of the request, for the ledger. */
  readonly request: number
}

export function pause(ms: number): Promise<void> {
  return new Promise((resolve) => setTimeout(resolve, ms))
}
