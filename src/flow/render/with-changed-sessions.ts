import type { Bundle, FhirResource } from 'fhir/r4.js'
import { provenanceUuid } from '../../core/fhir/identifiers.ts'
import { sessionBundle } from '../../core/fhir/session/session-bundle.ts'
import type { Destination } from '../../core/registry/destination.ts'
import { type Enrolment, isOnePatient } from '../../core/registry/enrolment.ts'
import { readStored } from '../check/read-stored.ts'
import { submittedRecord } from '../check/submitted-record.ts'
import { enrolmentAt } from '../person/enrolment-at.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { carriedSessions, sessionsExplained } from './carried-sessions.ts'
import { deliveredContext } from './delivered-context.ts'

/**
 * The bundle of an average as it was issued, but with those of its sessions as they are now that it would put on what the
 * clinic holds and that were changed again since: the newest version may have reached the clinic before it, by itself.
 * Undefined where there is none. A session that it would create is left as it was: where the clinic has that, nothing of
 * it is written.
 *
 * @param text the bundle, JSON text.
 * @param patient whom it is about; a session that is of somebody else by now is left as it was.
 * @throws OwnFault when a kept record can no longer be read.
 */
export async function withChangedSessions(
  text: string,
  patient: Enrolment['patient'],
  destination: Destination,
  at: Ports,
): Promise<Bundle | undefined> {
  if (!text.includes('"PUT"')) return undefined
  const { canonicalBase } = at.catalogue
  const issued: Bundle<FhirResource> = JSON.parse(text)
  const changed = await changedSince(text, carriedSessions(issued, canonicalBase), at)
  const now = new Map<string, Bundle>()
  for (const stored of changed) {
    const session = await asItIsNow(stored, patient, destination, at)
    if (session !== undefined) now.set(stored.uuid, session)
  }
  if (now.size === 0) return undefined

  // A monitor that serves several of them stands in the transaction once.
  const entries = [...now.values()].flatMap(({ entry = [] }) => entry)
  const written = new Map(entries.map((one) => [one.fullUrl, one]))
  const rest = (issued.entry ?? []).filter(
    (one) =>
      !written.has(one.fullUrl) && !sessionsExplained(one, canonicalBase).some((uuid) => now.has(uuid)),
  )
  return { ...issued, entry: [...written.values(), ...rest] }
}

/** Sessions that are carried as changed ones, in another version than the newest; each version has its own Provenance. */
async function changedSince(
  text: string,
  carried: readonly string[],
  { store }: Pick<Ports, 'store'>,
): Promise<readonly StoredSession[]> {
  const updated = carried.filter((uuid) => !text.includes(provenanceUuid(uuid)))
  const held = await Promise.all(updated.map((uuid) => store.sessionByUuid(uuid)))
  return held
    .flatMap((one) => one ?? [])
    .filter(({ uuid, version }) => !text.includes(provenanceUuid(uuid, version)))
}

async function asItIsNow(
  stored: StoredSession,
  patient: Enrolment['patient'],
  destination: Destination,
  at: Ports,
): Promise<Bundle | undefined> {
  const [current] = await at.store.enrolments(stored.source, [stored.subject])
  const enrolment = current && (await enrolmentAt(destination.name, current, at))
  if (enrolment === undefined || !isOnePatient(enrolment.patient, patient)) return undefined
  const { session, findings } = readStored(stored, enrolment, at)
  const context = {
    ...deliveredContext(enrolment, destination, at.catalogue),
    sessionUuid: stored.uuid,
  }
  return sessionBundle(session, findings, context, await submittedRecord(stored, at))
}
