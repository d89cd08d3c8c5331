import type { Ports } from '../ports/ports.ts'
import { KnownPatients } from './errand/known-patients.ts'
import { takeOverDoubts } from './monitors/doubts-of-others.ts'
import { MonitorsInDoubt } from './monitors/monitors-in-doubt.ts'
import { MonitorsThere } from './monitors/one-writer.ts'
import { KnownRoutes } from './route/known-routes.ts'

/** What one round of deliveries remembers, so that it need not be asked again for each entry. */
export interface DeliveryRound {
  readonly at: Ports
  readonly routes: KnownRoutes
  readonly patients: KnownPatients
  readonly monitors: MonitorsThere
  readonly doubts: MonitorsInDoubt
}

export async function openRound(at: Ports): Promise<DeliveryRound> {
  const doubts = new MonitorsInDoubt(at)
  await takeOverDoubts(doubts, at)
  return {
    at,
    routes: await KnownRoutes.open(at),
    patients: new KnownPatients(),
    monitors: new MonitorsThere(),
    doubts,
  }
}
