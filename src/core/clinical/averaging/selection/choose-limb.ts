import { type ArmGroup, armOf, type SiteGroup, siteOf } from '../limb-groups.ts'
import type { ReadingColumns } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/**
 * Chooses the one site and the one arm whose readings are averaged, among the readings that break no other rule, so
 * that a reading that cannot count does not decide whose readings do; and leaves the rest out. Readings that do not
 * state their site or arm are a group of their own, averaged with no other.
 *
 * The site is the upper arm wherever it has readings, then the one that is not stated, then the wrist. The arm is the
 * plan's; without one, the group with more readings. On a tie an arm that is stated goes before one that is not, and of
 * two stated ones the one with the higher mean systolic, then the higher mean diastolic, then the left.
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
    if (site !== undefined && siteOf(mark) !== site) reasons[row] = siteReason(siteOf(mark), site)
    else if (arm !== undefined && armOf(mark) !== arm) reasons[row] = armReason(armOf(mark), arm)
  }
}

function siteReason(site: SiteGroup, averaged: SiteGroup): number {
  return site === 'not-stated' || averaged === 'not-stated' ? CODE['site-not-stated'] : CODE['other-site']
}

function armReason(arm: ArmGroup, averaged: ArmGroup): number {
  return arm === 'not-stated' || averaged === 'not-stated' ? CODE['arm-not-stated'] : CODE['other-arm']
}

function chooseSite({ rules, columns, reasons }: RowSelection): SiteGroup | undefined {
  const { rows, marks } = columns
  let site: SiteGroup | undefined
  for (let row = 0; row < rows; row += 1) {
    const mark = marks[row] ?? 0
    if (reasons[row] !== COUNTS || (rules.arm !== undefined && armOf(mark) !== rules.arm)) continue
    const found = siteOf(mark)
    if (found === 'upper-arm') return 'upper-arm'
    if (site !== 'not-stated') site = found
  }
  return site
}

function chooseArm({ columns, reasons }: RowSelection, site: SiteGroup): ArmGroup {
  const groups: Readonly<Record<ArmGroup, ArmSums>> = {
    left: { readings: 0, systolic: 0, diastolic: 0 },
    right: { readings: 0, systolic: 0, diastolic: 0 },
    'not-stated': { readings: 0, systolic: 0, diastolic: 0 },
  }
  for (let row = 0; row < columns.rows; row += 1) {
    const mark = columns.marks[row] ?? 0
    if (reasons[row] === COUNTS && siteOf(mark) === site) add(groups[armOf(mark)], columns, row)
  }
  const { left, right } = groups
  const stated = fromStated(left, right)
  return groups['not-stated'].readings > groups[stated].readings ? 'not-stated' : stated
}

function fromStated(left: ArmSums, right: ArmSums): 'left' | 'right' {
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
