import type { Arm, Site } from '../../session.ts'
import { MARK, type ReadingColumns } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/**
 * Chooses the one site and the one arm whose readings are averaged, among the readings that break no other rule, so
 * that a reading that cannot count does not decide whose readings do; and leaves the rest out.
 *
 * The site is the upper arm wherever it has readings. The arm is the plan's; without one, the arm with more readings;
 * on a tie the one with the higher mean systolic, then the higher mean diastolic, then the left.
 *
 * Source for the tie: NICE NG136 recommendation 1.2.1, use the arm with the higher reading.
 */
export function chooseLimb(selection: RowSelection): void {
  const { rules, columns, reasons } = selection
  const { rows, marks } = columns
  const site = chooseSite(selection)
  const arm = rules.arm ?? (site === undefined ? undefined : chooseArm(selection, site))
  selection.site = site
  selection.arm = arm
  for (let row = 0; row < rows; row += 1) {
    const code = reasons[row] ?? COUNTS
    if (code !== COUNTS && code < CODE['other-site']) continue
    const mark = marks[row] ?? 0
    if (site !== undefined && siteOf(mark) !== site) reasons[row] = CODE['other-site']
    else if (arm !== undefined && armOf(mark) !== arm) reasons[row] = CODE['other-arm']
  }
}

function chooseSite({ rules, columns, reasons }: RowSelection): Site | undefined {
  const { rows, marks } = columns
  let site: Site | undefined
  for (let row = 0; row < rows; row += 1) {
    const mark = marks[row] ?? 0
    if (reasons[row] !== COUNTS || (rules.arm !== undefined && armOf(mark) !== rules.arm)) continue
    if (siteOf(mark) === 'upper-arm') return 'upper-arm'
    site = 'wrist'
  }
  return site
}

function chooseArm({ columns, reasons }: RowSelection, site: Site): Arm {
  const left = { readings: 0, systolic: 0, diastolic: 0 }
  const right = { readings: 0, systolic: 0, diastolic: 0 }
  for (let row = 0; row < columns.rows; row += 1) {
    const mark = columns.marks[row] ?? 0
    if (reasons[row] === COUNTS && siteOf(mark) === site)
      add(armOf(mark) === 'left' ? left : right, columns, row)
  }
  if (left.readings !== right.readings) return left.readings > right.readings ? 'left' : 'right'
  // As many on each arm: the higher sum is the higher mean.
  if (left.systolic !== right.systolic) return left.systolic > right.systolic ? 'left' : 'right'
  return right.diastolic > left.diastolic ? 'right' : 'left'
}

interface ArmSums {
  readings: number
  systolic: number
  diastolic: number
}

function add(sums: ArmSums, { systolic, diastolic }: ReadingColumns, row: number): void {
  sums.readings += 1
  sums.systolic += systolic[row] ?? 0
  sums.diastolic += diastolic[row] ?? 0
}

function armOf(mark: number): Arm {
  return (mark & MARK.rightArm) === 0 ? 'left' : 'right'
}

function siteOf(mark: number): Site {
  return (mark & MARK.wrist) === 0 ? 'upper-arm' : 'wrist'
}
