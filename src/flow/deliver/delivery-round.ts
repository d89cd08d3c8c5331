import type { Ports } from '../ports.ts'
import { takeOverDoubts } from './doubts-of-others.ts'
import { KnownPatients } from './known-patients.ts'
import { KnownRoutes } from './known-routes.ts'
import { MonitorsInDoubt } from './monitors-in-doubt.ts'
import { MonitorsThere } from './one-writer.ts'

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
