import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import type { ReferenceShown, Route, SeenConditions } from '../../../core/exchange/route/route.ts'

/** What a server's transactions were seen to do. */
export interface TransactionsSeen {
  readonly change: Pick<Route, 'conditions' | 'references'>
  /** Set where it is to be told as an error: as what in the log, and with what in the audit trail. */
  readonly told?: {
    readonly event: 'conditions-passed-over' | 'references-passed-over'
    readonly problem: ErrorCode
    /** A resource that was made or put where it should not be. */
    readonly place: Readonly<Record<string, string>>
  }
}

/** What it does with conditions. */
export function conditionsSeen(conditions: SeenConditions): TransactionsSeen {
  const { seen, double } = conditions
  if (seen !== 'passed-over') return { change: { conditions } }
  const place: Readonly<Record<string, string>> = double === undefined ? {} : { double }
  return {
    change: { conditions },
    told: { event: 'conditions-passed-over', problem: 'CLINIC_IGNORES_CONDITIONS', place },
  }
}

/** What it makes of the conditional reference to the patient. */
export function referencesSeen({ misplaced, ...shown }: ReferenceShown, nowMs: number): TransactionsSeen {
  const at = misplaced && `${misplaced.type}/${misplaced.id}`
  const references = at === undefined ? shown : { ...shown, misplaced: { at, byMs: nowMs } }
  const { seen } = shown
  if (seen !== 'passed-over') return { change: { references } }
  const place: Readonly<Record<string, string>> = at === undefined ? {} : { misplaced: at }
  return {
    change: { references },
    told: { event: 'references-passed-over', problem: 'CLINIC_MISPLACES_PATIENT', place },
  }
}

/**
 * What stays known of it when a server is asked anew. A route without an address was resumed by an operator since, who may
 * have had the server mended.
 */
export function keptOfTransactions({
  address,
  conditions,
  references,
}: Route): Pick<Route, 'conditions' | 'references'> {
  if (address === undefined) return {}
  return {
    ...(conditions === undefined || conditions.seen === 'failing' ? {} : { conditions }),
    ...(references === undefined || references.seen === 'untold' ? {} : { references }),
  }
}
