import type { AuditEntry } from '../../../core/audit/audit-entry.ts'
import type { Database } from '../connection/database.ts'
import type { AuditRows } from './audit-rows.ts'

/** What a recorded act touches beside its own rows. */
export interface RecordingParts {
  readonly database: Database
  readonly audit: AuditRows
}

/** Does something and records it, in one transaction. */
export function recorded<T>(entry: AuditEntry, { database, audit }: RecordingParts, work: () => T): T {
  return database.write(() => {
    const result = work()
    audit.append(entry)
    return result
  })
}

/** As `recorded`, but the act is recorded only when it changed something. */
export function recordedIf(
  entry: AuditEntry,
  { database, audit }: RecordingParts,
  work: () => boolean,
): boolean {
  return database.write(() => {
    const changed = work()
    if (changed) audit.append(entry)
    return changed
  })
}
