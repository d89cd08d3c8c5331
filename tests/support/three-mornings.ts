import type { Destination } from '../../src/core/registry/destination.ts'
import type { ClinicBehaviour } from './hostile-clinic/clinic-behaviour.ts'
import { openDelivery, type QueuedDelivery, sitting } from './queued-delivery.ts'

/** Another clinic that a person may be linked to. */
export const LATER = 'later-clinic'

/** Two readings of one morning in March 2026, with the same monitor each day. */
export function morning(day: number, systolic = 141) {
  const text = JSON.stringify(sitting(`s-${day}`, 'HW-1', systolic))
  return JSON.parse(text.replaceAll('2026-03-02', `2026-03-0${day}`))
}

export interface Mornings {
  readonly at: QueuedDelivery
  /** Of a week from 2026-03-02 on. */
  readonly period: string
}

/** HW-1 measured on the first three mornings of a period: they are received, and nothing is closed yet. */
export async function threeMornings(
  destination: Partial<Destination> = {},
  behaviour: Partial<ClinicBehaviour> = {},
): Promise<Mornings> {
  const at = await openDelivery({
    played: { behaviour, patients: ['P-HW-1', 'Q-1'] },
    destination,
    others: [{ name: LATER, baseUrl: 'https://later.example/fhir' }],
  })
  await at.flows.enrol('HW-1')
  const period = await at.flows.openPeriod('HW-1', '2026-03-02', 7)
  await at.flows.receive([2, 3, 4].map((day) => morning(day)))
  return { at, period }
}
