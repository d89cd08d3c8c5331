import type { ReadingColumns } from '../reading-columns.ts'
import { chooseLimb } from './choose-limb.ts'
import { completeHomeReadings, excludedByPolicy } from './complete-home-readings.ts'
import { extraReadings } from './extra-readings.ts'
import { extraSittings } from './extra-sittings.ts'
import { firstDays, outsideWindows } from './first-days.ts'
import { firstReading } from './first-reading.ts'
import { otherPosition } from './other-position.ts'
import { placeRows, type RowSelection, roomForSelection } from './row-selection.ts'
import { sameReadingAgain } from './same-reading-again.ts'
import { sameReadingElsewhere } from './same-reading-elsewhere.ts'
import { numericRules, type SelectionRules } from './selection-rules.ts'

/**
 * Decides of each row whether it counts or for which reason it is left out, by the rules of a protocol; the one place
 * where they are applied. `reasons.ts` says in which order and why.
 *
 * The limb is chosen last, because only readings that break no other rule have a say in it; until then the rules of
 * the schedule go by each limb for itself. Its reasons still go before theirs.
 *
 * @param room a selection that is no longer needed, whose arrays are used again.
 */
export function selectRows(
  rules: SelectionRules,
  columns: ReadingColumns,
  room?: RowSelection,
): RowSelection {
  const numeric = numericRules(rules)
  const selection = room ?? roomForSelection(numeric, columns)
  placeRows(selection, numeric, columns)
  completeHomeReadings(selection)
  sameReadingAgain(selection)
  sameReadingElsewhere(selection)
  excludedByPolicy(selection)
  otherPosition(selection)
  outsideWindows(selection)
  firstDays(selection)
  extraSittings(selection)
  extraReadings(selection)
  firstReading(selection)
  chooseLimb(selection)
  return selection
}
