import { addDays, startOfDay } from '../../core/basics/local-day.ts'
import type { Period } from '../../core/registry/period.ts'
import { type ReadStored, readStored } from '../check/read-stored.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { isOfSubject, type Person } from './person.ts'

/**
 * A person's sessions with a reading in the local days of a period, as they are held; what was withdrawn is among them.
 * The days are those of the person's first enrolment.
 */
export function heldInPeriod(
  { firstDay, lastDay }: Pick<Period, 'firstDay' | 'lastDay'>,
  person: Person,
  at: Pick<Ports, 'store'>,
): Promise<readonly StoredSession[]> {
  const { zone } = person[0]
  return heldOf(person, startOfDay(firstDay, zone), startOfDay(addDays(lastDay, 1), zone), at)
}

/** A person's sessions of all sources with a reading in [fromMs, toMs), in time order. */
export async function heldOf(
  person: Person,
  fromMs: number,
  toMs: number,
  { store }: Pick<Ports, 'store'>,
): Promise<readonly StoredSession[]> {
  const held = await Promise.all(
    person.map(({ source, subject }) => store.sessionsBetween(source, subject, fromMs, toMs)),
  )
  if (held.length === 1) return held[0] ?? []
  return held.flat().sort((a, b) => a.takenMs - b.takenMs || (a.uuid < b.uuid ? -1 : 1))
}

/**
 * The same, read and checked, each by its own enrolment; what is of nobody of the person is left aside. Each names its
 * source unless all are of the person's first one.
 *
 * @throws OwnFault when one can no longer be read.
 */
export function readAll(
  held: readonly StoredSession[],
  person: Person,
  at: Pick<Ports, 'policy'>,
): readonly ReadStored[] {
  const isOfSeveral = held.some(({ source }) => source !== person[0].source)
  return held.flatMap((stored) => {
    const enrolment = person.find((one) => isOfSubject(stored, one))
    if (enrolment === undefined) return []
    const read = readStored(stored, enrolment, at)
    return isOfSeveral ? { ...read, source: stored.source } : read
  })
}
