import type { RetryRow } from '../../../core/outbox/retry-schedule.ts'
import { table } from '../terminal.ts'
import { ageText } from './destination-lines.ts'

/** The waits after attempts that fail. Those that are equally long, as all are from some attempt on, are one row. */
export function waitTable(waits: readonly RetryRow[]): string {
  const rows: (readonly [first: RetryRow, last: RetryRow])[] = []
  for (const wait of waits) {
    const [first] = rows.at(-1) ?? []
    if (first?.longestMs === wait.longestMs) rows[rows.length - 1] = [first, wait]
    else rows.push([wait, wait])
  }
  return table(
    ['attempt', 'longest wait', 'longest so far'],
    rows.map(([first, last]) => [
      first === last ? String(first.attempt) : `${first.attempt} to ${last.attempt}`,
      waitText(first.longestMs),
      waitText(last.totalMs),
    ]),
    [12, 16, 18],
  )
}

function waitText(ms: number): string {
  return ms < 1000 ? `${ms} ms` : ageText(Math.round(ms / 1000))
}
