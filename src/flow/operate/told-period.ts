import { instantOf } from '../../core/basics/instant.ts'
import type { Period } from '../../core/registry/period.ts'

/** A period as it is told to whoever asks. */
export interface ToldPeriod extends Omit<Period, 'dueMs' | 'readThrough'> {
  /** When it is closed by itself, RFC 3339 text. */
  readonly due: string
}

export function toldPeriod({ dueMs, readThrough: _, ...period }: Period): ToldPeriod {
  return { ...period, due: instantOf(dueMs).text }
}
