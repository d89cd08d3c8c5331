import type { Session } from '../clinical/session.ts'

/** The submission a session came in: what of it is kept, and what came under its id before. */
export interface SubmittedRecord {
  /** SHA-256 of the record as it was received, lower-case hex. */
  readonly sha256: string
  /** RFC 3339 text in UTC. */
  readonly receivedAt: string
  /** 1 as first received; one more for each correction and for a withdrawal. */
  readonly version: number
  /** Taken back by its source. */
  readonly withdrawn: boolean
  /** What earlier versions said, the first one first; none for version 1. */
  readonly earlier: readonly Session[]
}
