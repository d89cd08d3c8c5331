import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import { instantOf } from '../../../core/basics/instant.ts'
import type { Rung } from '../../../core/registry/rung.ts'

/** The audit row that says on which rung a destination is served from now on, and why. */
export function chosenRoute(
  destination: string,
  from: Rung | undefined,
  to: Rung | undefined,
  because: Readonly<Record<string, string>>,
  nowMs: number,
): AuditEntry {
  return {
    at: instantOf(nowMs).text,
    actor: 'gateway',
    action: 'route-chosen',
    about: destination,
    outcome: to === undefined ? 'failed' : 'done',
    detail: {
      ...(to === undefined ? {} : { rung: to }),
      ...(from === undefined ? {} : { before: from }),
      ...because,
    },
  }
}
