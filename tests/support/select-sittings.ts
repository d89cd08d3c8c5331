import type { PeriodPlan } from '../../src/core/clinical/averaging/period-average.ts'
import { placeReadings } from '../../src/core/clinical/averaging/place-readings.ts'
import { type Selection, selectReadings } from '../../src/core/clinical/averaging/select-readings.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { homeSitting, type SittingParts } from './home-sitting.ts'
import { shippedProtocol } from './shipped-profiles.ts'

const nice = shippedProtocol('nice-ng136-home')

/** Twice a day, nothing left out. */
export const keepAll: Protocol = { ...nice, leaveOut: { ...nice.leaveOut, firstDays: 0 } }

/** The first week of March 2026, from the 2nd, in UTC. */
export function weekOf(protocol: Protocol, said: Partial<PeriodPlan> = {}): PeriodPlan {
  return { protocol, zone: 'UTC', firstDay: '2026-03-02', lastDay: '2026-03-08', ...said }
}

/** What counts of these sittings in that week. */
export function selectSittings(
  protocol: Protocol,
  parts: readonly SittingParts[],
  said: Partial<PeriodPlan> = {},
): Selection {
  const plan = weekOf(protocol, said)
  return selectReadings(plan, placeReadings(plan, parts.map(homeSitting)))
}
