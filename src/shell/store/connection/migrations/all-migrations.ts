import { first } from './0001-first.ts'
import { versionsAndSittings } from './0002-versions-and-sittings.ts'
import { deliveriesInDoubt } from './0003-deliveries-in-doubt.ts'
import { mappedRecords } from './0004-mapped-records.ts'
import { peopleOfSeveralSources } from './0005-people-of-several-sources.ts'
import { earlierLinks } from './0006-earlier-links.ts'
import { heldByEntry } from './0007-held-by-entry.ts'
import { begunEntries } from './0008-begun-entries.ts'
import { unheardEntries } from './0009-unheard-entries.ts'
import { keysToldApart } from './0010-keys-told-apart.ts'
import { averagesByDestination } from './0011-averages-by-destination.ts'
import { movedEntries } from './0012-moved-entries.ts'
import { withdrawnPeriods } from './0013-withdrawn-periods.ts'
import { settledEntries } from './0014-settled-entries.ts'
import { callsOfChangedSessions } from './0015-calls-of-changed-sessions.ts'

/** One step of the layout. A step that was released is never edited: its hash is kept beside it in the file. */
export interface Migration {
  /** Counts from 1 without gaps. */
  readonly number: number
  readonly name: string
  readonly sql: string
}

export const ALL_MIGRATIONS: readonly Migration[] = [
  first,
  versionsAndSittings,
  deliveriesInDoubt,
  mappedRecords,
  peopleOfSeveralSources,
  earlierLinks,
  heldByEntry,
  begunEntries,
  unheardEntries,
  keysToldApart,
  averagesByDestination,
  movedEntries,
  withdrawnPeriods,
  settledEntries,
  callsOfChangedSessions,
]
