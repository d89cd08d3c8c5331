import type { PeriodState } from '../../../core/registry/period.ts'
import type { PeriodFilter } from '../../../flow/ports/ports.ts'
import { type Condition, conditionOf } from '../connection/condition.ts'
import type { SourceNumbers } from './source-numbers.ts'

/**
 * Undefined when nothing can meet it, because nothing was ever kept of its source. A source alone leads to no index: it
 * may have nearly all periods, which would have to be sorted for every page; those of one subject are few.
 */
export function periodCondition(
  { source, subject, state, protocol }: PeriodFilter,
  sources: SourceNumbers,
): Condition | undefined {
  const sourceNo = source === undefined ? undefined : sources.find(source)
  if (source !== undefined && sourceNo === undefined) return undefined
  const { sql, values } = conditionOf([
    [subject === undefined ? '+source_no = ?' : 'source_no = ?', sourceNo],
    ['subject = ?', subject],
    ['protocol = ?', protocol],
  ])
  return { sql: state === undefined ? sql : `${sql} AND ${OF_STATE[state]}`, values }
}

const OF_STATE: Readonly<Record<PeriodState, string>> = {
  open: "state = 'open'",
  closed: "state = 'closed' AND withdrawn = 0",
  withdrawn: 'withdrawn = 1',
}
