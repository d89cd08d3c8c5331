import type { Bundle, BundleEntry } from 'fhir/r4.js'
import { attentionCodesOf } from '../../core/clinical/attention/attention-finding.ts'
import { historyAttention } from '../../core/clinical/attention/history-attention.ts'
import { ATTENTION_CODES, type AttentionCode, type Finding } from '../../core/clinical/finding.ts'
import type { Session } from '../../core/clinical/session.ts'
import { attentionBundle } from '../../core/fhir/attention/attention-bundle.ts'
import { movedBundle } from '../../core/fhir/moved-bundle.ts'
import { sessionBundle } from '../../core/fhir/session/session-bundle.ts'
import { CALLS_ALONE, type OutboxEntry, type Settlement } from '../../core/outbox/entry.ts'
import type { Destination } from '../../core/registry/destination.ts'
import { type Enrolment, isOnePatient } from '../../core/registry/enrolment.ts'
import { type ReadStored, readStored } from '../check/read-stored.ts'
import { submittedRecord } from '../check/submitted-record.ts'
import { enrolmentAt } from '../person/enrolment-at.ts'
import { nearbySessions } from '../person/nearby-sessions.ts'
import { personOf } from '../person/person.ts'
import type { Ports, StoredSession } from '../ports/ports.ts'
import { adornedDelivery } from './adorned-delivery.ts'
import { broughtBy } from './brought-by.ts'
import { changedCalls } from './changed-calls.ts'
import { deliveredContext } from './delivered-context.ts'
import { isHeld } from './is-held.ts'
import { lookedFor, mayHold } from './looked-for.ts'
import { renderAverage } from './render-average.ts'
import type { RenderedDelivery } from './rendered-delivery.ts'

/**
 * What an outbox entry has to say to its destination, or why it has nothing to say. Whatever was true when it was queued,
 * what is written is what is held now: the newest version of a session, the newest average of a period.
 *
 * @param sessionOf gives the newest version of a session, which may have been read a moment ago.
 * @throws OwnFault when a kept record can no longer be read, or the bundle breaks a rule.
 */
export async function renderEntry(
  entry: OutboxEntry,
  destination: Destination,
  at: Ports,
  sessionOf: (uuid: string) => Promise<StoredSession | undefined> = at.store.sessionByUuid,
): Promise<RenderedDelivery | Settlement> {
  const { uncertain } = entry
  const [current] = await at.store.enrolments(entry.source, [entry.subject])
  const enrolment = current && (await enrolmentAt(destination.name, current, at))
  const { movedFrom } = entry
  if (movedFrom !== undefined && enrolment !== undefined && isOnePatient(movedFrom, enrolment.patient)) {
    // Linked back before anything was brought over.
    return NOTHING_TO_SAY
  }
  if (entry.kind === 'average') {
    return renderAverage(entry, enrolment, current?.destination === destination.name, destination, at)
  }
  if (enrolment === undefined) return { state: 'given-up', problem: 'ENROLMENT_GONE', uncertain }
  const stored = await sessionOf(entry.about)
  if (stored === undefined) return { state: 'given-up', problem: 'NOT_FOUND', uncertain }

  const read = readStored(stored, enrolment, at)
  const about = { patient: enrolment.patient, issued: stored.receivedAt }
  const delivered = (bundle: Bundle) => {
    const sent = movedFrom === undefined ? bundle : movedBundle(bundle)
    return adornedDelivery(sent, `${entry.kind} ${stored.uuid}`, about, destination, at.catalogue)
  }
  if (entry.kind !== 'session') {
    return delivered(await bundleOfCall(codeOf(entry), read, enrolment, destination, at))
  }
  const { readings, isWanted, calls } = await bundlesOfSession(entry, read, enrolment, destination, at)
  if (!isWanted && entry.part !== CALLS_ALONE && mayHold(destination, entry))
    return lookedFor(delivered(readings))
  const said = isWanted ? [readings, ...calls] : calls
  if (said.length === 0) return NOTHING_TO_SAY
  return delivered(said.length === 1 && isWanted ? readings : merged(said))
}

interface BundlesOfSession {
  readonly readings: Bundle
  /** Whether the destination wants the readings, or holds them and is told of a change. */
  readonly isWanted: boolean
  readonly calls: readonly Bundle[]
}

const NOTHING_TO_SAY: Settlement = { state: 'settled', created: 0, alreadyThere: 0, updated: 0 }

/**
 * A session; after a correction or a withdrawal together with the calls for attention that it was told of and that it bears
 * on, so that the clinic hears of what no longer stands, and of what stands again. A destination that wants no readings by
 * now still hears of changes to what it holds of them. What is brought over to another patient is what it holds, however it
 * came there.
 */
async function bundlesOfSession(
  entry: OutboxEntry,
  { stored, session, findings }: ReadStored,
  enrolment: Enrolment,
  destination: Destination,
  at: Ports,
): Promise<BundlesOfSession> {
  const record = await submittedRecord(stored, at)
  const context = contextOf(stored.uuid, enrolment, destination, at)
  const readings = sessionBundle(session, findings, context, record)
  const calls = await changedCalls({ stored, session, findings }, record, enrolment, destination, at)
  const isWanted = entry.part !== CALLS_ALONE && (isWantedAnyway() || (await isChangeOfHeld()))
  return { readings, isWanted, calls }

  function isWantedAnyway(): boolean {
    const isMoved = entry.movedFrom !== undefined
    return destination.readings === 'at-once' || (destination.readings === 'with-average' && !isMoved)
  }

  async function isChangeOfHeld(): Promise<boolean> {
    if (entry.movedFrom === undefined && stored.version === 1 && !stored.withdrawn) return false
    return isHeld(readings, destination.name, await broughtBy(entry, at), at)
  }
}

async function bundleOfCall(
  code: AttentionCode,
  { stored, session, findings }: ReadStored,
  enrolment: Enrolment,
  destination: Destination,
  at: Ports,
): Promise<Bundle> {
  const isOwn = stored.withdrawn || attentionCodesOf(findings).includes(code)
  const all = isOwn ? findings : await withHistory(stored.uuid, session, findings, enrolment, at)
  const record = await submittedRecord(stored, at)
  return attentionBundle(code, session, all, contextOf(stored.uuid, enrolment, destination, at), record)
}

/** The findings of a version of a session, and what it calls for together with those that are held near it now. */
async function withHistory(
  uuid: string,
  session: Session,
  findings: readonly Finding[],
  enrolment: Enrolment,
  at: Ports,
): Promise<readonly Finding[]> {
  const { epochMs } = session.takenAt
  const nearby = await nearbySessions(await personOf(enrolment, at), epochMs, epochMs, at, uuid)
  const others = nearby.filter(({ stored }) => stored.uuid !== uuid).map((one) => one.session)
  return [...findings, ...historyAttention(session, others, at.policy.attention)]
}

function contextOf(uuid: string, enrolment: Enrolment, destination: Destination, at: Ports) {
  return { ...deliveredContext(enrolment, destination, at.catalogue), sessionUuid: uuid }
}

function codeOf({ id, part }: OutboxEntry): AttentionCode {
  const code = ATTENTION_CODES.find((one) => one === part)
  if (code === undefined) throw new Error(`outbox entry ${id} names no call for attention`)
  return code
}

/** One transaction of several: what stands in more than one of them stands in it once. */
function merged(bundles: readonly Bundle[]): Bundle {
  const entries = new Map<string | undefined, BundleEntry>()
  for (const { entry = [] } of bundles) for (const one of entry) entries.set(one.fullUrl, one)
  return { resourceType: 'Bundle', type: 'transaction', entry: [...entries.values()] }
}
