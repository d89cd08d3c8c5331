/** A subject whose sessions are kept and go nowhere until it is enrolled. */
export interface WaitingSubject {
  readonly subject: string
  /** Sessions held of it, without those that were withdrawn. At least 1. */
  readonly sessions: number
  /** When the first and the last of them, each in its newest version, were received: RFC 3339 texts in UTC. */
  readonly firstReceived: string
  readonly lastReceived: string
}
