import { type Enrolment, isOnePatient } from '../../core/registry/enrolment.ts'
import { heldInPeriod } from '../person/period-sittings.ts'
import { isOfSubject, type Person, personOf } from '../person/person.ts'
import type { Ports } from '../ports/ports.ts'
import { reopenPeriod } from './reopen-period.ts'

/**
 * Opens closed periods again that a new link changes: those of the people a subject now belongs to and belonged to
 * before, where it has sessions in their days; its own, where they have, and where its destination was not issued the
 * newest average. Returns how many. Closing them again issues
 * nothing where nothing changed, so it may be repeated.
 *
 * @param person as it is linked now, the subject first.
 * @param before its enrolment as it was; undefined for a new one.
 */
export async function followLink(
  [enrolment, ...linked]: Person,
  before: Enrolment | undefined,
  at: Pick<Ports, 'store' | 'clock'>,
): Promise<number> {
  const left =
    before === undefined || isOnePerson(before, enrolment) ? [] : (await personOf(before, at)).slice(1)
  const others = [...linked, ...left]
  let reopened = await reopenWhereUntold(enrolment, at)
  for (const other of others) {
    reopened += await reopenWhereHeld(other, [enrolment], at)
  }
  return reopened + (await reopenWhereHeld(enrolment, others, at))
}

/** Opens closed periods of an enrolment again whose newest average was issued for another destination than its own. */
async function reopenWhereUntold(
  { source, subject, destination }: Enrolment,
  at: Pick<Ports, 'store' | 'clock'>,
): Promise<number> {
  let reopened = 0
  for (const period of await at.store.periodsOf(source, subject)) {
    if (period.state !== 'closed') continue
    const newest = (await at.store.issuedAverages(period.id)).at(-1)
    if (newest?.destination !== destination && (await reopenPeriod(period, at))) reopened += 1
  }
  return reopened
}

/** Opens closed periods of one enrolment again in whose days one of the others has sessions. */
async function reopenWhereHeld(
  enrolment: Enrolment,
  others: readonly Enrolment[],
  at: Pick<Ports, 'store' | 'clock'>,
): Promise<number> {
  if (others.length === 0) return 0
  let reopened = 0
  for (const period of await at.store.periodsOf(enrolment.source, enrolment.subject)) {
    if (period.state !== 'closed') continue
    const held = await heldInPeriod(period, [enrolment, ...others], at)
    const isTouched = held.some((session) => !isOfSubject(session, enrolment))
    if (isTouched && (await reopenPeriod(period, at))) reopened += 1
  }
  return reopened
}

function isOnePerson(one: Enrolment, other: Enrolment): boolean {
  return one.destination === other.destination && isOnePatient(one.patient, other.patient)
}
