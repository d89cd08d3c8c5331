import { type ColumnMean, meanOfRows, roomForSittings, type SittingSums } from './mean-of-rows.ts'
import type { ReadingColumns } from './reading-columns.ts'
import { COUNTS } from './selection/reasons.ts'
import type { RowSelection } from './selection/row-selection.ts'
import { selectRows } from './selection/select-rows.ts'
import type { SelectionRules } from './selection/selection-rules.ts'

/** A period average without words: what a sweep over everyone needs of each. */
export interface ColumnAverage {
  /** Rows given. */
  readonly received: number
  /** Those on a day of the period. */
  readonly inPeriod: number
  readonly used: number
  /** Local days with a reading that is averaged. */
  readonly days: number
  /** Absent when no reading counts. */
  readonly mean?: ColumnMean
  /** One entry per sitting window of the protocol that has readings, in the protocol's order. */
  readonly byWindow: readonly (ColumnMean & { readonly window: string })[]
}

/** Arrays used for one person after another; nothing that is returned refers to them. */
let selection: RowSelection | undefined
const sums: SittingSums = roomForSittings(64)

/**
 * The average of one person's columns by the same rules as `averagePeriod`, and equal to its. Meant for millions of
 * rows: it allocates for the answer only.
 */
export function averageColumns(rules: SelectionRules, columns: ReadingColumns): ColumnAverage {
  selection = selectRows(rules, columns, selection)
  if (sums.readings.length < selection.sittings) Object.assign(sums, roomForSittings(2 * selection.sittings))
  const mean = meanOfRows(selection, 'all', sums)
  return {
    received: columns.rows,
    inPeriod: rowsInPeriod(selection),
    used: mean?.readings ?? 0,
    days: daysUsed(selection),
    ...(mean === undefined ? {} : { mean }),
    byWindow: byWindow(selection, mean),
  }
}

function byWindow(selection: RowSelection, mean: ColumnMean | undefined): ColumnAverage['byWindow'] {
  const { sittings } = selection.rules.protocol
  if (mean === undefined) return []
  const [only] = sittings
  if (only !== undefined && sittings.length === 1) return [{ window: only.name, ...mean }]
  const found: (ColumnMean & { window: string })[] = []
  for (const [place, { name }] of sittings.entries()) {
    const inWindow = meanOfRows(selection, place, sums)
    if (inWindow !== undefined) found.push({ window: name, ...inWindow })
  }
  return found
}

function rowsInPeriod({ columns, days, rules }: RowSelection): number {
  let rows = 0
  for (let row = 0; row < columns.rows; row += 1) {
    const day = days[row] ?? 0
    if (day >= rules.firstDay && day <= rules.lastDay) rows += 1
  }
  return rows
}

/** Rows are in the order of days but where a clock is set back over midnight; then what was seen is looked up. */
function daysUsed({ columns, reasons, days }: RowSelection): number {
  const seen = new Set<number>()
  let last = Number.NaN
  for (let row = 0; row < columns.rows; row += 1) {
    const day = days[row] ?? 0
    if (reasons[row] !== COUNTS || day === last) continue
    last = day
    seen.add(day)
  }
  return seen.size
}
