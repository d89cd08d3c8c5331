import { statSync } from 'node:fs'
import type { ChainPlace } from '../../../core/audit/chain.ts'
import { StoreFailed } from '../../../core/basics/gateway-error.ts'
import { type AuditVerdict, verifyAudit } from '../../../flow/prove/verify-audit.ts'
import { asStoreFailed } from '../connection/as-store-failed.ts'
import { ReadOnlyFile } from '../connection/read-only-file.ts'
import { sqliteCodeOf } from '../connection/sqlite-code.ts'
import { whyNotOpened } from '../connection/why-not-opened.ts'
import { AuditChainRows } from './audit-chain-rows.ts'

/**
 * Checks the audit trail of a store's file and changes nothing in it: a service may have it open, and it may be a copy
 * that was made by an earlier release.
 *
 * @param kept a place that was kept elsewhere, through which the chain has to go.
 * @throws StoreFailed when the file cannot be read.
 */
export async function verifyFile(file: string, kept?: ChainPlace): Promise<AuditVerdict> {
  const opened = openedFile(file)
  try {
    const rows = new AuditChainRows(opened)
    return await verifyAudit(async (after, limit) => rows.follow(after, limit), kept)
  } catch (error) {
    throw asStoreFailed('audit', error)
  } finally {
    opened.close()
  }
}

function openedFile(file: string): ReadOnlyFile {
  try {
    return new ReadOnlyFile(file)
  } catch (error) {
    throw isAbsent(file) ? noSuchFile(file, error) : whyNotOpened(file, error)
  }
}

/** Nothing is made where a file is only read, so that a folder to make or to write in is no way out. */
function noSuchFile(file: string, error: unknown): StoreFailed {
  return new StoreFailed(
    `cannot open the store ${file}: there is no such file. Name the file of a store, or its settings by --settings.`,
    { cause: error, sqlite: sqliteCodeOf(error) },
  )
}

/** Not so of a file that is hidden from this user. */
function isAbsent(file: string): boolean {
  try {
    return statSync(file, { throwIfNoEntry: false }) === undefined
  } catch {
    return false
  }
}
