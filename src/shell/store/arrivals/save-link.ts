import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Enrolment } from '../../../core/registry/enrolment.ts'
import { isOnePatient } from '../../../core/registry/enrolment.ts'
import type { LinkSaved } from '../../../flow/ports/ports.ts'
import type { AuditRows } from '../audit/audit-rows.ts'
import type { EarlierLinks } from '../registry/earlier-links.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'
import { type MovingParts, moveDelivered } from './move-delivered.ts'

/** What saving a link touches, and what the destinations want. */
export interface LinkingParts extends MovingParts {
  readonly sources: SourceNumbers
  readonly earlierLinks: EarlierLinks
  readonly audit: AuditRows
  /** Names of the destinations that want each session's readings when they arrive. */
  readonly readingsAtOnce: ReadonlySet<string>
}

/**
 * Saves a link with what it sets in motion. Of sessions that arrived before it only the readings are queued: what they
 * call attention to can take several of them together, so whoever enrols looks at what is there and raises it. Runs inside
 * a transaction.
 */
export function saveLink(enrolment: Enrolment, audit: AuditEntry, parts: LinkingParts): LinkSaved {
  const { sources, earlierLinks, registry, outbox } = parts
  const { source, subject, destination } = enrolment
  const sourceNo = sources.assign(source)
  const [current] = registry.enrolments(source, [subject])
  const before =
    current?.destination === destination
      ? current.patient
      : earlierLinks.patient(sourceNo, subject, destination)

  earlierLinks.keepBefore(sourceNo, enrolment)
  registry.saveEnrolment(enrolment)
  const queuedMs = Date.parse(audit.at)
  outbox.releaseMended(enrolment, sourceNo, queuedMs)
  const moving =
    before === undefined || isOnePatient(before, enrolment.patient)
      ? 0
      : moveDelivered(enrolment, sourceNo, before, queuedMs, parts)
  const queued = queueSessions(enrolment, sourceNo, queuedMs, parts)
  parts.audit.append(moving === 0 ? audit : { ...audit, detail: { ...audit.detail, moving } })
  return { queued, moving }
}

/** Queues the sessions of a subject where its destination wants them at once. What was queued before is not again. */
function queueSessions(
  { subject, destination }: Enrolment,
  sourceNo: number,
  queuedMs: number,
  { inbox, outbox, readingsAtOnce }: LinkingParts,
): number {
  if (!readingsAtOnce.has(destination)) return 0
  let queued = 0
  for (const { seq, uuid, withdrawn } of inbox.ofSubject(sourceNo, subject)) {
    if (withdrawn === 1) continue
    const about = { kind: 'session', about: uuid, sessionSeq: seq } as const
    if (outbox.enqueue({ destination, sourceNo, subject, ...about, urgent: false, queuedMs })) queued += 1
  }
  return queued
}
