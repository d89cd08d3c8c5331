import type { AuditRow } from '../../../core/audit/audit-entry.ts'
import { visibleText } from '../../../core/basics/visible-text.ts'
import { quiet, table } from '../terminal.ts'

/** Audit rows, a row each. */
export function auditTable(rows: readonly AuditRow[]): string {
  return table(
    ['row', 'when, by whom', 'what', 'of what'],
    rows.map(({ seq, at, actor, action, outcome, about, detail }) => [
      String(seq),
      `${at}\n${quiet(actor)}`,
      outcome === 'done' ? action : `${action}\n${quiet(outcome)}`,
      [
        visibleText(about),
        ...Object.entries(detail).map(([key, value]) => quiet(visibleText(`${key} ${value}`))),
      ]
        .filter((line) => line !== '')
        .join('\n'),
    ]),
    [8, 33, 22, 48],
  )
}
