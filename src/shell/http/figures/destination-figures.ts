import { Gauge, type Registry } from 'prom-client'
import type { Ports } from '../../../flow/ports/ports.ts'

/** What waits for each destination, and what stands in its way. Gives what brings the figures up to date. */
export function destinationFigures(
  registry: Registry,
  { store, clinic, receivers, clock }: Pick<Ports, 'store' | 'clinic' | 'receivers' | 'clock'>,
): () => Promise<void> {
  const registers = [registry]
  const queued = new Gauge({
    name: 'home_bp_destination_entries',
    help: 'Outbox entries by destination and state',
    labelNames: ['destination', 'state'] as const,
    registers,
  })
  const oldest = new Gauge({
    name: 'home_bp_destination_oldest_seconds',
    help: 'Age of the oldest outbox entry of a destination that is not settled; 0 when all are',
    labelNames: ['destination'] as const,
    registers,
  })
  const stopped = new Gauge({
    name: 'home_bp_destination_stopped',
    help: '1 while nothing is sent to a destination until an operator resumes it',
    labelNames: ['destination'] as const,
    registers,
  })
  const resting = new Gauge({
    name: 'home_bp_destination_resting',
    help: '1 while a destination is left alone because one request after the other failed',
    labelNames: ['destination'] as const,
    registers,
  })

  return async () => {
    const [summaries, routes] = await Promise.all([store.deliverySummary(), store.routes()])
    const now = clock.now()
    const atRest = new Set([...clinic.resting(), ...receivers.resting()])
    for (const { destination, entries, oldestQueuedMs } of summaries) {
      for (const [state, count] of Object.entries(entries)) queued.set({ destination, state }, count)
      oldest.set({ destination }, oldestQueuedMs === undefined ? 0 : (now - oldestQueuedMs) / 1000)
      resting.set({ destination }, atRest.has(destination) ? 1 : 0)
    }
    for (const route of routes) {
      stopped.set({ destination: route.destination }, route.stopped === undefined ? 0 : 1)
    }
  }
}
