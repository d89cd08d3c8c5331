import type { AuditEntry, AuditRow } from '../../../core/audit/audit-entry.ts'
import type { ChainLook, ChainPlace } from '../../../core/audit/chain.ts'
import type { AuditFilter } from '../../../flow/ports/ports.ts'
import type { Look } from '../connection/look.ts'
import type { AuditChainRows } from './audit-chain-rows.ts'
import { type RecordingParts, recorded } from './recorded.ts'

interface AuditParts extends RecordingParts {
  readonly auditChain: AuditChainRows
}

/** The calls about the trail of who did what. */
export function auditCalls(parts: AuditParts) {
  const { database, audit, auditChain } = parts
  return {
    recordAudit(entry: AuditEntry): void {
      recorded(entry, parts, () => undefined)
    },

    lookInAudit(after: number, limit: number, filter: AuditFilter): Look<AuditRow, number> {
      return database.read(() => audit.look(after, limit, filter))
    },

    followAudit(after: ChainPlace, limit: number): ChainLook {
      return database.read(() => auditChain.follow(after, limit))
    },
  }
}
