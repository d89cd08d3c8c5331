import { type AuditVerdict, verifyAudit } from '../../flow/verify-audit.ts'
import { asStoreFailed } from './as-store-failed.ts'
import { AuditChainRows } from './audit-chain-rows.ts'
import { ReadOnlyFile } from './sweep/read-only-file.ts'

/**
 * Checks the audit trail of a store's file and changes nothing in it: a service may have it open, and it may be a copy
 * that was made by an earlier release.
 *
 * @throws StoreFailed when the file cannot be read.
 */
export async function verifyFile(file: string): Promise<AuditVerdict> {
  let opened: ReadOnlyFile | undefined
  try {
    opened = new ReadOnlyFile(file)
    const rows = new AuditChainRows(opened)
    return await verifyAudit(async (after, limit) => rows.follow(after, limit))
  } catch (error) {
    throw asStoreFailed('audit', error)
  } finally {
    opened?.close()
  }
}
