import type { Ports } from '../ports/ports.ts'
import { Doubts } from './doubts/doubts.ts'
import { takeOverDoubts } from './doubts/doubts-of-others.ts'
import { KnownPatients } from './errand/known-patients.ts'
import { MonitorsThere } from './monitors/one-writer.ts'
import { KnownRoutes } from './route/known-routes.ts'

/** What one round of deliveries remembers, so that it need not be asked again for each entry. */
export interface DeliveryRound {
  readonly at: Ports
  readonly routes: KnownRoutes
  readonly patients: KnownPatients
  readonly monitors: MonitorsThere
  readonly doubts: Doubts
}

export async function openRound(at: Ports): Promise<DeliveryRound> {
  const doubts = new Doubts(at)
  await takeOverDoubts(doubts, at)
  return {
    at,
    routes: await KnownRoutes.open(at),
    patients: new KnownPatients(),
    monitors: new MonitorsThere(),
    doubts,
  }
}
