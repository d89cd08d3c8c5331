import type { DeliveryFilter } from '../../../flow/ports/ports.ts'
import { type Condition, conditionOf } from '../connection/condition.ts'
import type { SourceNumbers } from '../registry/source-numbers.ts'

/** Undefined when nothing can meet it, because nothing was ever kept of its source. */
export function deliveryCondition(
  { state, destination, source, kind, problem, queuedBeforeMs }: DeliveryFilter,
  sources: SourceNumbers,
): Condition | undefined {
  const sourceNo = source === undefined ? undefined : sources.find(source)
  if (source !== undefined && sourceNo === undefined) return undefined
  return conditionOf([
    // said twice where it helps: the index leaves out what is settled
    [state === 'settled' ? 'state = ?' : "state <> 'settled' AND state = ?", state],
    ['destination = ?', destination],
    ['source_no = ?', sourceNo],
    ['kind = ?', kind],
    ['last_problem = ?', problem],
    ['queued_ms < ?', queuedBeforeMs],
  ])
}
