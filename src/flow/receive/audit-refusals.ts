import { actorText } from '../../core/audit/actor.ts'
import type { Instant } from '../../core/basics/instant.ts'
import type { Issue } from '../../core/basics/issue.ts'
import type { Origin } from '../check/prepare-record.ts'
import type { Ports } from '../ports/ports.ts'

/**
 * One audit row for all refusals of a call: how many, and by which codes.
 *
 * @param refusals the issues of each refused record; nothing is written for none.
 */
export async function auditRefusals(
  refusals: readonly (readonly Issue[])[],
  origin: Origin,
  received: Instant,
  at: Pick<Ports, 'store'>,
): Promise<void> {
  if (refusals.length === 0) return
  const codes = new Set(refusals.flatMap((issues) => issues.map(({ code }) => code)))
  await at.store.recordAudit({
    at: received.text,
    actor: actorText(`source:${origin.source}`, origin.key),
    action: 'session-refused',
    about: '',
    outcome: 'refused',
    detail: { records: refusals.length, codes: [...codes].sort().join(' ') },
  })
}
