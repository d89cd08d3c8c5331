import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { instantOf } from '../../../core/basics/instant.ts'
import type { Route } from '../../../core/exchange/route/route.ts'

/** A route on which nothing more is sent until an operator resumes it, with the audit row that says so. */
export function stoppedRoute(
  route: Route,
  problem: ErrorCode,
  nowMs: number,
): { readonly route: Route; readonly audit: AuditEntry } {
  return {
    route: { ...route, stopped: { problem, sinceMs: nowMs } },
    audit: {
      at: instantOf(nowMs).text,
      actor: 'gateway',
      action: 'route-stopped',
      about: route.destination,
      outcome: 'done',
      detail: { problem },
    },
  }
}
