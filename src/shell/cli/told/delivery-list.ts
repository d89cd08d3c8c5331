import { visibleText } from '../../../core/basics/visible-text.ts'
import type { OutboxState } from '../../../core/outbox/entry.ts'
import type { ToldDelivery } from '../../../flow/operate/told-delivery.ts'
import { bad, good, prose, quiet, table, warn } from '../terminal.ts'

const STATE_COLOURS: Readonly<Record<OutboxState, (text: string) => string>> = {
  waiting: (text) => text,
  claimed: (text) => text,
  settled: good,
  parked: warn,
  'given-up': bad,
}

export function stateText(state: OutboxState): string {
  return STATE_COLOURS[state](state)
}

/**
 * Deliveries as a table, one line each where the terminal is wide enough, the reason by its code; and below it each reason
 * once, in words, with what to do.
 */
export function deliveryList(entries: readonly ToldDelivery[], width: number): readonly string[] {
  const problems = new Map(
    entries.flatMap(({ problem }) => (problem ? [[`${problem.code} ${problem.remedy}`, problem]] : [])),
  )
  return [
    deliveryTable(entries),
    ...[...problems.values()].map(({ code, meaning, remedy }) =>
      prose(`${code}: ${meaning} ${remedy}`, width),
    ),
  ]
}

function deliveryTable(entries: readonly ToldDelivery[]): string {
  const rows = entries.map((entry) => [
    String(entry.id),
    `${entry.destination}\n${quiet(visibleText(`${entry.source} ${entry.subject}`))}`,
    entry.part === undefined ? entry.kind : `${entry.kind} ${entry.part}`,
    stateText(entry.state),
    String(entry.attempts),
    entry.queued,
    entry.problem?.code ?? '',
  ])
  const head = ['id', 'destination, subject', 'what', 'state', 'tried', 'queued', 'problem']
  return table(head, rows, [8, 26, 14, 10, 7, 22, 24])
}
