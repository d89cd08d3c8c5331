import { visibleText } from '../../../core/basics/visible-text.ts'
import { counted } from '../../../core/clinical/report/narrative-words.ts'
import type { ToldPeriod } from '../../../flow/operate/told-period.ts'
import { quiet, table } from '../terminal.ts'

/** Periods, a row each. */
export function periodTable(periods: readonly ToldPeriod[]): string {
  const rows = periods.map((one) => [
    one.id,
    `${visibleText(one.subject)}\n${quiet(one.source)}`,
    [
      `${one.firstDay} to ${one.lastDay}`,
      quiet(one.protocol),
      ...(one.arm === undefined ? [] : [quiet(`${one.arm} arm`)]),
    ].join('\n'),
    `${one.state}\n${quiet(one.state === 'open' ? one.due : counted(one.revision, 'average'))}`,
  ])
  return table(['period', 'subject', 'days, protocol', 'state, due'], rows, [38, 19, 28, 22])
}
