import { BEFORE_FIRST, type ChainBreak, type ChainLook, type ChainPlace } from '../../core/audit/chain.ts'

/** What checking the audit trail from its first row to its last came to. */
export interface AuditVerdict {
  readonly intact: boolean
  /** Rows that follow from one another, from the first one on. */
  readonly rows: number
  /** Hash of the last of them; 64 zeros when there is none. Kept elsewhere, it shows later whether rows were cut off. */
  readonly hash: string
  /** Where the chain breaks first; absent when it is intact. */
  readonly broken?: ChainBreak
}

/**
 * Checks the whole audit trail, a piece at a time, so that neither memory nor other calls feel its length.
 *
 * @param follow checks at most `limit` rows after a place.
 * @param kept a place that was kept elsewhere, through which the chain has to go: a chain that ends before it, or was
 * written anew as a whole, follows from itself and shows only so.
 */
export async function verifyAudit(
  follow: (after: ChainPlace, limit: number) => Promise<ChainLook>,
  kept?: ChainPlace,
): Promise<AuditVerdict> {
  for (let after = BEFORE_FIRST; ; ) {
    const { last, broken } = await follow(after, rowsToLookAt(after, kept))
    const found = { rows: last.seq, hash: last.hash }
    if (broken !== undefined) return { intact: false, ...found, broken }
    if (kept?.seq === last.seq && kept.hash !== last.hash) {
      return { intact: false, ...found, broken: { seq: last.seq, what: 'rewritten' } }
    }
    if (last.seq === after.seq) {
      const isCutOff = kept !== undefined && kept.seq > last.seq
      if (!isCutOff) return { intact: true, ...found }
      return { intact: false, ...found, broken: { seq: last.seq + 1, what: 'cut-off' } }
    }
    after = last
  }
}

/** A few milliseconds of hashing. */
const ROWS_AT_A_TIME = 500

/** Not past the place that was kept. */
function rowsToLookAt(after: ChainPlace, kept: ChainPlace | undefined): number {
  const toKept = (kept?.seq ?? 0) - after.seq
  return toKept > 0 ? Math.min(ROWS_AT_A_TIME, toKept) : ROWS_AT_A_TIME
}
