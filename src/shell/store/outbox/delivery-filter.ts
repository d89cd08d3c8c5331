import type { DeliveryFilter } from '../../../flow/ports/ports.ts'
import type { SqlValue } from '../connection/database.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'

/** A filter in SQL, and the values of its question marks. */
export interface DeliveryCondition {
  readonly sql: string
  readonly values: readonly SqlValue[]
}

/** Undefined when nothing can meet it, because nothing was ever kept of its source. */
export function deliveryCondition(
  { state, destination, source, kind, problem, queuedBeforeMs }: DeliveryFilter,
  sources: SourceNumbers,
): DeliveryCondition | undefined {
  const sourceNo = source === undefined ? undefined : sources.find(source)
  if (source !== undefined && sourceNo === undefined) return undefined
  const terms: readonly (readonly [string, SqlValue | undefined])[] = [
    // said twice where it helps: the index leaves out what is settled
    [state === 'settled' ? 'state = ?' : "state <> 'settled' AND state = ?", state],
    ['destination = ?', destination],
    ['source_no = ?', sourceNo],
    ['kind = ?', kind],
    ['last_problem = ?', problem],
    ['queued_ms < ?', queuedBeforeMs],
  ]
  const meant = terms.filter(([, value]) => value !== undefined)
  return {
    sql: meant.map(([sql]) => ` AND ${sql}`).join(''),
    values: meant.flatMap(([, value]) => value ?? []),
  }
}
