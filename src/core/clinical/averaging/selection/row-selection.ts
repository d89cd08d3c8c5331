import { MINUTES_PER_DAY } from '../../../basics/local-day.ts'
import type { ArmGroup, SiteGroup } from '../limb-groups.ts'
import type { ReadingColumns } from '../reading-columns.ts'
import { COUNTS } from './reasons.ts'
import { NO_WINDOW, type NumericRules } from './selection-rules.ts'

/**
 * One person's rows while the rules go over them, and what they came to. The arrays may be longer than there are rows;
 * they are kept from one person to the next, so what is read here must be read before the next selection.
 */
export interface RowSelection {
  rules: NumericRules
  columns: ReadingColumns
  /** By row: `COUNTS`, or the code of the reason it is left out for. */
  reasons: Uint8Array
  /** By row: number of the local day, as `dayNumberOf` has it. */
  days: Int32Array
  /** By row: place of the sitting window in the protocol's list, or `NO_WINDOW`. */
  windows: Int8Array
  /** Sittings are numbered below this. */
  sittings: number
  /** By sitting, for the rule at work to use as it likes. */
  count: Int32Array
  sum: Float64Array
  /** By row that came through another source too: the row that stands in its place. */
  sameAs: ReadonlyMap<number, number>
  /** The arm and the site whose rows count; undefined when no row does and the plan names none. */
  arm: ArmGroup | undefined
  site: SiteGroup | undefined
}

const NONE: ReadonlyMap<number, number> = new Map()

/** Room for a selection, to be used again and again. */
export function roomForSelection(rules: NumericRules, columns: ReadingColumns): RowSelection {
  const rows = columns.rows
  return {
    rules,
    columns,
    reasons: new Uint8Array(rows),
    days: new Int32Array(rows),
    windows: new Int8Array(rows),
    sittings: 0,
    count: new Int32Array(rows),
    sum: new Float64Array(rows),
    sameAs: NONE,
    arm: undefined,
    site: undefined,
  }
}

/** Puts each row on the patient's calendar, by its own time. Nothing is left out yet. */
export function placeRows(selection: RowSelection, rules: NumericRules, columns: ReadingColumns): void {
  const { rows, takenMs, sitting } = columns
  selection.rules = rules
  selection.columns = columns
  selection.sameAs = NONE
  selection.arm = undefined
  selection.site = undefined
  if (selection.reasons.length < rows) {
    selection.reasons = new Uint8Array(2 * rows)
    selection.days = new Int32Array(2 * rows)
    selection.windows = new Int8Array(2 * rows)
  }
  const { days, windows, reasons } = selection
  const { clock, windowAt } = rules
  let sittings = 0
  for (let row = 0; row < rows; row += 1) {
    const minutes = clock.localMinutes(takenMs[row] ?? Number.NaN)
    const day = Math.floor(minutes / MINUTES_PER_DAY)
    days[row] = day
    windows[row] = windowAt[minutes - day * MINUTES_PER_DAY] ?? NO_WINDOW
    reasons[row] = COUNTS
    const number = sitting[row] ?? 0
    if (number >= sittings) sittings = number + 1
  }
  selection.sittings = sittings
  if (selection.count.length < sittings) {
    selection.count = new Int32Array(2 * sittings)
    selection.sum = new Float64Array(2 * sittings)
  }
}
