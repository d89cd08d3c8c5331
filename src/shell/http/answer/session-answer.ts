import type { Issue } from '../../../core/basics/issue.ts'
import type { Receipt } from '../../../flow/receive/receipt.ts'
import type { Outcome } from '../../../flow/receive/receive-sessions.ts'
import { type ShownIssue, shownIssue } from './error-response.ts'

/** What became of one record, as the client reads it: the receipt, or what was wrong. */
export type SessionAnswer =
  | ({ readonly outcome: 'kept' | 'same' | 'corrected' | 'withdrawn' } & Receipt)
  | {
      readonly outcome: 'refused'
      readonly code: Issue['code']
      readonly issues: readonly ShownIssue[]
    }
  | { readonly outcome: 'skipped'; readonly because: string }

/** Counts of what became of records; what a mapping made one sitting of counts once. */
export interface Summary {
  received: number
  kept: number
  same: number
  corrected: number
  /** Taken back, as their source's records say. */
  withdrawn: number
  refused: number
  /** Left out knowingly, as a mapping says. */
  skipped: number
}

export function emptySummary(): Summary {
  return { received: 0, kept: 0, same: 0, corrected: 0, withdrawn: 0, refused: 0, skipped: 0 }
}

export function addTo(summary: Summary, outcome: Outcome): void {
  summary.received += 1
  summary[outcome.kind] += 1
}

export function sessionAnswer(outcome: Outcome): SessionAnswer {
  if (outcome.kind === 'skipped') return { outcome: outcome.kind, because: outcome.because }
  if (outcome.kind !== 'refused') return { outcome: outcome.kind, ...outcome.receipt }
  return { outcome: 'refused', code: outcome.issues[0].code, issues: outcome.issues.map(shownIssue) }
}

/** Where a session is found by whoever may see it. */
export function placeOfSession({ id, source }: Pick<Receipt, 'id' | 'source'>): string {
  return `/sessions/${encodeURIComponent(id)}?source=${source}`
}
