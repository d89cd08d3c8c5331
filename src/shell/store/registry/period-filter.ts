import type { PeriodState } from '../../../core/registry/period.ts'
import type { PeriodFilter } from '../../../flow/ports/ports.ts'
import type { SqlValue } from '../connection/database.ts'
import type { SourceNumbers } from './source-numbers.ts'

/** A filter in SQL, and the values of its question marks. */
export interface PeriodCondition {
  readonly sql: string
  readonly values: readonly SqlValue[]
}

/** Undefined when nothing can meet it, because nothing was ever kept of its source. */
export function periodCondition(
  { source, subject, state, protocol }: PeriodFilter,
  sources: SourceNumbers,
): PeriodCondition | undefined {
  const sourceNo = source === undefined ? undefined : sources.find(source)
  if (source !== undefined && sourceNo === undefined) return undefined
  const terms: readonly (readonly [string, SqlValue | undefined])[] = [
    ['source_no = ?', sourceNo],
    ['subject = ?', subject],
    ['protocol = ?', protocol],
  ]
  const meant = terms.filter(([, value]) => value !== undefined)
  const words = [...meant.map(([sql]) => sql), ...(state === undefined ? [] : [OF_STATE[state]])]
  return {
    sql: words.map((sql) => ` AND ${sql}`).join(''),
    values: meant.flatMap(([, value]) => value ?? []),
  }
}

const OF_STATE: Readonly<Record<PeriodState, string>> = {
  open: "state = 'open'",
  closed: "state = 'closed' AND withdrawn = 0",
  withdrawn: 'withdrawn = 1',
}
