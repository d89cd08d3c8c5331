import type { Meta, Observation, Reference } from 'fhir/r4.js'
import { frozen } from '../../basics/frozen.ts'
import { type Entry, type Reading, type Session, timeOf } from '../../clinical/session.ts'
import { ASSERTED_BY_DEVICE, REPORTED_BY_PATIENT } from '../codes.ts'
import type { ConversionContext } from '../conversion-context.ts'

/** What an Observation of its kind always carries; made once, frozen and shared. */
export interface ObservationKind {
  readonly category: NonNullable<Observation['category']>
  readonly code: Observation['code']
  /** By how the numbers got into the app. */
  readonly meta: Readonly<Record<Entry, Meta>>
}

/** @param profile claimed in `meta.profile`, when there is one. */
export function observationKind(kind: Omit<ObservationKind, 'meta'>, profile?: string): ObservationKind {
  const claimed = profile === undefined ? {} : { profile: [profile] }
  return frozen({
    ...kind,
    meta: {
      transferred: { ...claimed, security: ASSERTED_BY_DEVICE },
      typed: { ...claimed, security: REPORTED_BY_PATIENT },
    },
  })
}

/**
 * The part every Observation of a session has in common: who vouches, whose it is, when, by which monitor.
 *
 * `effectiveDateTime` is the instant as the source wrote it, offset and seconds included; the invariant vs-1 refuses
 * a Period here. Values a monitor transferred are marked as asserted by a device, typed ones as reported by the
 * patient. Source: FHIR R4 4.0.1 profile vitalsigns, and v3 ObservationValue security provenance.
 */
export function observationFrame(
  kind: ObservationKind,
  identifier: { system: string; value: string },
  reading: Reading,
  session: Session,
  context: ConversionContext,
): Observation {
  const observation: Observation = {
    resourceType: 'Observation',
    meta: kind.meta[session.entry],
    identifier: [identifier],
    status: 'final',
    category: kind.category,
    code: kind.code,
    subject: context.subject,
    effectiveDateTime: timeOf(reading, session).text,
    performer: performers(context.subject),
  }
  if (context.withIds === true) observation.id = identifier.value
  if (context.receivedAt !== undefined) observation.issued = context.receivedAt
  if (context.device !== undefined) observation.device = context.device
  return observation
}

/** Who measured: for all Observations of a session one list, which never changes where the subject never does. */
function performers(subject: Reference): Reference[] {
  if (lastPerformers[0] === subject) return lastPerformers
  const list = [subject]
  if (Object.isFrozen(subject)) lastPerformers = frozen(list)
  return list
}

let lastPerformers: Reference[] = []
