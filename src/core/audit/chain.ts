import { hash } from 'node:crypto'
import type { AuditEntry, AuditRow } from './audit-entry.ts'

/** What the first row of a chain follows. */
export const CHAIN_START = '0'.repeat(64)

/**
 * The hash of an audit entry in its place.
 *
 * The bytes hashed, so that anyone can compute them again: the previous row's hash as 64 lower-case hex digits
 * (`CHAIN_START` for the first row), one line feed (0x0A), then the entry as canonical JSON in UTF-8. Canonical is
 * RFC 8785: no spaces, keys sorted by UTF-16 code units, strings and numbers as ECMAScript writes them. The entry has
 * exactly the keys about, action, actor, at, detail and outcome; its number and hash are not part of it.
 *
 * @returns SHA-256 as lower-case hex.
 */
export function chainHash(previous: string, entry: AuditEntry): string {
  return hash('sha256', `${previous}\n${canonicalEntry(entry)}`, 'hex')
}

/**
 * Checks rows that follow each other, in the order of their numbers.
 *
 * A changed, removed, added or moved row shows at its place. Rows cut off the end do not show: compare the last hash
 * with one that was kept elsewhere.
 *
 * @param previous hash of the row before the first one; `CHAIN_START` when the rows begin the chain.
 * @returns the number of the first row that does not follow from what stands before it, or undefined when all do.
 */
export function verifyChain(rows: Iterable<AuditRow>, previous: string = CHAIN_START): number | undefined {
  let expected = previous
  let lastSeq: number | undefined
  for (const row of rows) {
    const inOrder = lastSeq === undefined || row.seq === lastSeq + 1
    if (!inOrder || row.hash !== chainHash(expected, row)) return row.seq
    expected = row.hash
    lastSeq = row.seq
  }
  return undefined
}

function canonicalEntry(entry: AuditEntry): string {
  const { about, action, actor, at, detail, outcome } = entry
  return (
    `{"about":${JSON.stringify(about)},"action":${JSON.stringify(action)},"actor":${JSON.stringify(actor)},` +
    `"at":${JSON.stringify(at)},"detail":${canonicalDetail(detail)},"outcome":${JSON.stringify(outcome)}}`
  )
}

/** The detail of an entry as canonical JSON, in the form it is hashed and kept. */
export function canonicalDetail(detail: AuditEntry['detail']): string {
  const members = Object.keys(detail)
    .sort()
    .map((key) => `${JSON.stringify(key)}:${JSON.stringify(detail[key])}`)
  return `{${members.join(',')}}`
}
