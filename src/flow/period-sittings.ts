import { addDays, startOfDay } from '../core/basics/local-day.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Period } from '../core/registry/period.ts'
import type { Ports, StoredSession } from './ports.ts'
import { type ReadStored, readStored } from './read-stored.ts'

type Days = Pick<Period, 'source' | 'subject' | 'firstDay' | 'lastDay'>

/** Sessions with a reading in the local days of a period, as they are held; what was withdrawn is among them. */
export function heldInPeriod(
  { source, subject, firstDay, lastDay }: Days,
  { zone }: Pick<Enrolment, 'zone'>,
  at: Pick<Ports, 'store'>,
): Promise<readonly StoredSession[]> {
  const from = startOfDay(firstDay, zone)
  const to = startOfDay(addDays(lastDay, 1), zone)
  return at.store.sessionsBetween(source, subject, from, to)
}

/** The same, read and checked. @throws OwnFault when one can no longer be read. */
export function readAll(
  held: readonly StoredSession[],
  enrolment: Enrolment,
  at: Pick<Ports, 'policy'>,
): readonly ReadStored[] {
  return held.map((one) => readStored(one, enrolment, at))
}
