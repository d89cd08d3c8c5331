import type { StoredSession } from '../../../flow/ports/ports.ts'
import { placedSitting } from './placed-sitting.ts'
import { sameJsonValue } from './same-json-value.ts'

/** A version of a session as the inbox holds it. */
export interface InboxRow {
  readonly seq: number
  readonly source_no: number
  readonly id: string
  readonly uuid: string
  readonly subject: string
  readonly taken_ms: number
  readonly received_at: string
  readonly sha256: string
  readonly zone: string | null
  readonly raw: string
  readonly version: number
  readonly withdrawn: 0 | 1
  /** Place of the version before; null for the first. */
  readonly replaces: number | null
}

export function storedSession(row: InboxRow, source: string): StoredSession {
  return {
    seq: row.seq,
    uuid: row.uuid,
    source,
    id: row.id,
    subject: row.subject,
    takenMs: row.taken_ms,
    raw: row.raw,
    sha256: row.sha256,
    receivedAt: row.received_at,
    version: row.version,
    withdrawn: row.withdrawn === 1,
    ...(row.zone === null ? {} : { zone: row.zone }),
  }
}

/** The merged rows and the waiting ones, without those that a waiting one replaces. */
export function newestOf(merged: readonly InboxRow[], waiting: readonly InboxRow[]): InboxRow[] {
  const replaced = new Set(waiting.map(({ replaces }) => replaces))
  return [...merged, ...waiting].filter(({ seq }) => !replaced.has(seq))
}

/** Whether a row has a reading in the time given, both ends included; one without readings stands at its own time. */
export function hasReadingIn({ raw, taken_ms, zone }: InboxRow, fromMs: number, toMs: number): boolean {
  const { readings } = placedSitting(raw, taken_ms, zone)
  const times = readings.length === 0 ? [taken_ms] : readings.map(({ takenMs }) => takenMs)
  return times.some((ms) => ms >= fromMs && ms <= toMs)
}

/** Compares as JSON values, so key order and spacing do not matter. */
export function sameContent(held: string, sent: string): boolean {
  return held === sent || sameJsonValue(JSON.parse(held), JSON.parse(sent))
}
