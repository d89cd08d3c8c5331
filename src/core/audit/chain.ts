import { hash } from 'node:crypto'
import type { AuditEntry, AuditRow } from './audit-entry.ts'

/** What the first row of a chain follows. */
export const CHAIN_START = '0'.repeat(64)

/** A row's place: its number and hash. */
export type ChainPlace = Pick<AuditRow, 'seq' | 'hash'>

/** What stands before the first row. */
export const BEFORE_FIRST: ChainPlace = { seq: 0, hash: CHAIN_START }

/** A row to be checked, with its detail as the text that is kept, or as it was read from that text. */
export interface KeptRow extends Omit<AuditRow, 'detail'> {
  readonly detail: AuditRow['detail'] | string
}

/** Where a chain breaks first. */
export interface ChainBreak {
  /** Of the row that was changed or added, or of the first one that is missing. */
  readonly seq: number
  /**
   * `missing`: there is no row of this number, and there is a later one. `changed`: this row is not what its hash says,
   * or the row before it was changed together with its hash. `added`: its number is below 1, where no row is written.
   * Beside a place that was kept elsewhere, `cut-off`: the rows from this one on are no more; `rewritten`: this row has
   * another hash than was kept, so it or a row before it was written anew with all that follow.
   */
  readonly what: 'added' | 'changed' | 'missing' | 'cut-off' | 'rewritten'
}

/** A place as it is kept elsewhere: `1203:28408f…`, the number and the whole hash of a row. */
export function placeText({ seq, hash }: ChainPlace): string {
  return `${seq}:${hash}`
}

/** Undefined when the text is no place of a row. */
export function readPlace(text: string): ChainPlace | undefined {
  const [, seq, hash] = /^([1-9]\d{0,14}):([0-9a-f]{64})$/i.exec(text.trim()) ?? []
  return seq === undefined || hash === undefined ? undefined : { seq: Number(seq), hash: hash.toLowerCase() }
}

/** What checking some rows came to. */
export interface ChainLook {
  /** The last row that follows from those before it; what they were to follow when there is none. */
  readonly last: ChainPlace
  readonly broken?: ChainBreak
}

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
export function chainHash(previous: string, entry: Omit<KeptRow, 'seq' | 'hash'>): string {
  return hash('sha256', `${previous}\n${canonicalEntry(entry)}`, 'hex')
}

/**
 * Checks rows that follow each other, in the order of their numbers.
 *
 * A changed, removed, added or moved row shows at its place. Rows cut off the end do not show: they do beside a place that
 * was kept elsewhere.
 *
 * @param after what the first of the rows has to follow.
 */
export function followChain(rows: Iterable<KeptRow>, after: ChainPlace): ChainLook {
  let last = after
  for (const row of rows) {
    if (row.seq <= BEFORE_FIRST.seq) return { last, broken: { seq: row.seq, what: 'added' } }
    if (row.seq !== last.seq + 1) return { last, broken: { seq: last.seq + 1, what: 'missing' } }
    if (row.hash !== chainHash(last.hash, row)) return { last, broken: { seq: row.seq, what: 'changed' } }
    last = { seq: row.seq, hash: row.hash }
  }
  return { last }
}

/** Where the chain breaks first; undefined when it does not. */
export function verifyChain(rows: Iterable<KeptRow>, after = BEFORE_FIRST): ChainBreak | undefined {
  return followChain(rows, after).broken
}

function canonicalEntry(entry: Omit<KeptRow, 'seq' | 'hash'>): string {
  const { about, action, actor, at, detail, outcome } = entry
  return (
    `{"about":${JSON.stringify(about)},"action":${JSON.stringify(action)},"actor":${JSON.stringify(actor)},` +
    `"at":${JSON.stringify(at)},"detail":${typeof detail === 'string' ? detail : canonicalDetail(detail)},` +
    `"outcome":${JSON.stringify(outcome)}}`
  )
}

/** The detail of an entry as canonical JSON, in the form it is hashed and kept. */
export function canonicalDetail(detail: AuditEntry['detail']): string {
  const members = Object.keys(detail)
    .sort()
    .map((key) => `${JSON.stringify(key)}:${JSON.stringify(detail[key])}`)
  return `{${members.join(',')}}`
}
