import type { Arrivals, MappedFrom, StoredSession } from '../../../flow/ports/ports.ts'
import type { Database } from '../connection/database.ts'
import type { FollowUp } from './follow-up.ts'
import type { Inbox } from './inbox.ts'
import type { MappedRows } from './mapped-rows.ts'

interface SittingParts {
  readonly database: Database
  readonly inbox: Inbox
  readonly mapped: MappedRows
  readonly followUp: FollowUp
}

/** The calls about the sessions that are kept. */
export function sittingCalls({ database, inbox, mapped, followUp }: SittingParts) {
  return {
    session(source: string, id: string): StoredSession | undefined {
      return database.read(() => inbox.bySourceAndId(source, id))
    },

    sessionByUuid(uuid: string): StoredSession | undefined {
      return database.read(() => inbox.byUuid(uuid))
    },

    sessionVersions(uuid: string): readonly StoredSession[] {
      return database.read(() => inbox.versions(uuid))
    },

    mappedFrom(seq: number): MappedFrom | undefined {
      return database.read(() => mapped.of(seq))
    },

    sessionsBetween(source: string, subject: string, fromMs: number, toMs: number): readonly StoredSession[] {
      return database.read(() => inbox.ofSubjectBetween(source, subject, fromMs, toMs))
    },

    newestSeq(): number {
      return database.read(() => inbox.last)
    },

    /** Inbox place up to which the next follow-up goes; undefined when all was followed. To be merged before it. */
    nextFollowUp(limit: number): number | undefined {
      return database.read(() => followUp.next(limit, inbox.last))
    },

    unfollowed(throughSeq: number): Arrivals {
      return database.read(() => followUp.arrivals(throughSeq))
    },

    markFollowed(throughSeq: number): void {
      database.write(() => followUp.mark(throughSeq))
    },
  }
}
