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
 */
export async function verifyAudit(
  follow: (after: ChainPlace, limit: number) => Promise<ChainLook>,
): Promise<AuditVerdict> {
  for (let after = BEFORE_FIRST; ; ) {
    const { last, broken } = await follow(after, ROWS_AT_A_TIME)
    const found = { rows: last.seq, hash: last.hash }
    if (broken !== undefined) return { intact: false, ...found, broken }
    if (last.seq === after.seq) return { intact: true, ...found }
    after = last
  }
}

/** A few milliseconds of hashing. */
const ROWS_AT_A_TIME = 500
