import type { SessionRecord } from '../../../flow/ports/ports.ts'
import type { OutboxRows } from '../outbox/outbox-rows.ts'
import type { RegistryRows } from '../registry/registry-rows.ts'

/** What queueing touches, and what the destinations want. */
export interface QueueingParts {
  readonly registry: RegistryRows
  readonly outbox: OutboxRows
  /** Names of the destinations that want each session's readings when they arrive. */
  readonly readingsAtOnce: ReadonlySet<string>
  /** Names of the destinations that want to hear at once of what asks for attention. */
  readonly attentionAtOnce: ReadonlySet<string>
}

/**
 * Queues a version of a session for the destination of its subject, if there is one and it wants it: as a session,
 * and for each thing in it that asks for attention as a call for that.
 *
 * @param heldBy destinations that were queued an earlier version, and must come to hold this one.
 */
export function queueSession(
  {
    subject,
    uuid,
    receivedAt,
    attention,
  }: Pick<SessionRecord, 'subject' | 'uuid' | 'receivedAt' | 'attention'>,
  sourceNo: number,
  sessionSeq: number,
  { registry, outbox, readingsAtOnce, attentionAtOnce }: QueueingParts,
  heldBy?: ReadonlySet<string>,
): void {
  const destination = registry.destinationOf(sourceNo, subject)
  const entry = { sourceNo, subject, about: uuid, queuedMs: Date.parse(receivedAt) }
  if (destination !== undefined && attention !== undefined && attentionAtOnce.has(destination)) {
    for (const part of attention)
      outbox.enqueue({ ...entry, destination, kind: 'attention', part, urgent: true })
  }
  if (destination !== undefined && readingsAtOnce.has(destination)) {
    outbox.enqueue({ ...entry, destination, kind: 'session', urgent: false, sessionSeq })
  }
  for (const holder of heldBy ?? []) {
    outbox.enqueue({ ...entry, destination: holder, kind: 'session', urgent: false, sessionSeq })
  }
}
