import type { Destination, FhirDestination } from '../../src/core/registry/destination.ts'
import { DESTINATION, type FlowsOptions } from './open-flows.ts'

/** The clinic as an operator changes it in the settings: as after a restart, but for what the store queues. */
export interface ChangingDestinations {
  /** For the flows that are opened. */
  readonly catalogue: NonNullable<FlowsOptions['catalogue']>
  change(changes: Partial<Pick<FhirDestination, 'readings' | 'rung'>>): void
}

export function changingDestinations(): ChangingDestinations {
  const destinations = new Map<string, Destination>()
  return {
    catalogue: (loaded) => {
      for (const [name, one] of loaded.destinations) destinations.set(name, one)
      return { ...loaded, destinations }
    },
    change: (changes) => {
      const clinic = destinations.get(DESTINATION)
      if (clinic === undefined) throw new Error('there is no clinic')
      destinations.set(DESTINATION, { ...clinic, ...changes })
    },
  }
}
