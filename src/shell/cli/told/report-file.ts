import { closeSync, openSync, readSync, statSync, writeFileSync } from 'node:fs'
import { AUDIT_REPORT_FORMAT } from '../../../core/audit-report/audit-report.ts'
import { REPORT_PAGE_GENERATOR } from '../../pages/audit-report-page.ts'
import { FileFailed } from '../files/file-failed.ts'
import { SARIF_SCHEMA } from './sarif-log.ts'

/**
 * Whether the file is there and is neither empty nor an earlier report. A report takes only the place of a report: a
 * slip on the command line must not overwrite the bundle it is about.
 */
export function holdsOtherThanReport(file: string): boolean {
  let head: string
  try {
    if (!statSync(file).isFile()) return true
    head = beginningOf(file)
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return false
    throw new FileFailed('read', file, error)
  }
  return head !== '' && !MARKS.some((mark) => head.includes(mark))
}

const MARKS = [
  `"format": "${AUDIT_REPORT_FORMAT}"`,
  `<meta name="generator" content="${REPORT_PAGE_GENERATOR}">`,
  `"$schema": "${SARIF_SCHEMA}"`,
]

/** The marks stand within the first kilobyte of what is written. */
const BEGINNING_BYTES = 1024

function beginningOf(file: string): string {
  const opened = openSync(file, 'r')
  try {
    const bytes = Buffer.alloc(BEGINNING_BYTES)
    return bytes.toString('utf8', 0, readSync(opened, bytes))
  } finally {
    closeSync(opened)
  }
}

/** @throws FileFailed */
export function writeReport(file: string, text: string): void {
  try {
    writeFileSync(file, text)
  } catch (cause) {
    throw new FileFailed('write', file, cause)
  }
}
