import type { SubmittedSession } from '../../core/fhir/average/means-bundle.ts'
import { sessionUuid } from '../../core/fhir/identifiers.ts'
import { sessionBundle } from '../../core/fhir/session/session-bundle.ts'
import type { PeriodRules } from '../person/period-rules.ts'
import type { Ports } from '../ports/ports.ts'
import { deliveredContext } from './delivered-context.ts'
import { observationsIn } from './is-held.ts'

/**
 * Of sessions, those that were corrected or withdrawn and of which the destination is known to hold a reading. One that
 * wants no readings by now, and was given some with an average, hears of changes to them with the amended average.
 */
export async function heldChanges(
  sessions: readonly SubmittedSession[],
  { enrolment, person, destination }: PeriodRules,
  { store, catalogue }: Pick<Ports, 'store' | 'catalogue'>,
): Promise<readonly SubmittedSession[]> {
  const context = deliveredContext(enrolment, destination, catalogue)
  const changed = sessions
    .filter(({ stored }) => stored.version > 1 || stored.withdrawn)
    .map((one) => {
      const source = one.source ?? enrolment.source
      const own = { ...context, source, sessionUuid: sessionUuid(source, one.session.id) }
      return { one, readings: observationsIn(sessionBundle(one.session, one.findings, own, one.stored)) }
    })
  if (changed.length === 0) return []
  const of = person.map(({ source, subject }) => ({ source, subject }))
  const held = await store.held(
    destination.name,
    of,
    changed.flatMap(({ readings }) => readings),
  )
  return changed.flatMap(({ one, readings }) => (readings.some((uuid) => held.has(uuid)) ? [one] : []))
}
