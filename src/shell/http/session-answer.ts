import type { Issue } from '../../core/basics/issue.ts'
import type { Receipt } from '../../flow/receipt.ts'
import type { Outcome } from '../../flow/receive-sessions.ts'
import { shownIssue } from './error-response.ts'

/** What became of one record, as the client reads it: the receipt, or what was wrong. */
export type SessionAnswer =
  | ({ readonly outcome: 'kept' | 'same' } & Receipt)
  | {
      readonly outcome: 'refused'
      readonly code: Issue['code']
      readonly issues: readonly ReturnType<typeof shownIssue>[]
    }

export interface Summary {
  received: number
  kept: number
  same: number
  refused: number
}

export function emptySummary(): Summary {
  return { received: 0, kept: 0, same: 0, refused: 0 }
}

export function addTo(summary: Summary, outcome: Outcome): void {
  summary.received += 1
  summary[outcome.kind] += 1
}

export function sessionAnswer(outcome: Outcome): SessionAnswer {
  if (outcome.kind !== 'refused') return { outcome: outcome.kind, ...outcome.receipt }
  return { outcome: 'refused', code: outcome.issues[0].code, issues: outcome.issues.map(shownIssue) }
}

/** Where a session is found by whoever may see it. */
export function placeOfSession({ id, source }: Pick<Receipt, 'id' | 'source'>): string {
  return `/sessions/${encodeURIComponent(id)}?source=${source}`
}
