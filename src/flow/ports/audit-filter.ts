import type { AuditAction } from '../../core/audit/audit-entry.ts'

/** Which audit rows are meant; each key narrows. */
export interface AuditFilter {
  readonly action?: AuditAction
  readonly about?: string
  /**
   * An actor with its key, such as `operator#3fa94c0d2b1e`, or without, for all its keys and for what was done with none.
   */
  readonly actor?: string
}
