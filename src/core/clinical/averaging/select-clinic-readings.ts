import type { Arm, Site } from '../session.ts'
import { isStandingOrLying } from './body-position.ts'
import { columnsOfReadings } from './columns-of-readings.ts'
import { armGroup, siteGroup, statedArm, statedSite } from './limb-groups.ts'
import type { PeriodAverage, PlacedReading } from './period-average.ts'
import { chooseLimb } from './selection/choose-limb.ts'
import { COUNTS } from './selection/reasons.ts'
import { placeRows, roomForSelection } from './selection/row-selection.ts'
import { sameReadingAgain } from './selection/same-reading-again.ts'
import { sameReadingElsewhere } from './selection/same-reading-elsewhere.ts'
import { numericRules } from './selection/selection-rules.ts'

/** Clinic readings of one limb, and which it is where they state it. */
export interface ClinicReadings {
  readonly used: readonly PlacedReading[]
  readonly arm?: Arm
  readonly site?: Site
}

/**
 * The clinic readings that stand beside a home average: complete, of a day of the period, each once, and of one limb.
 *
 * The limb is that of the home average where the clinic measured on it, so that a difference between the arms is not
 * taken for one between the places; otherwise it is chosen as for home readings, whatever arm the plan names. A
 * reading said to have been taken standing or lying takes no part: the limits a clinic mean is held against are for
 * people who sit.
 */
export function selectClinicReadings({ plan, leftOut, arm, site }: PeriodAverage): ClinicReadings {
  const placed = leftOut
    .filter(({ reason }) => reason === 'other-setting')
    .map((one) => one.placed)
    .filter(isSeatedClinicReading)
  const columns = columnsOfReadings(placed)
  const { zone, protocol, firstDay, lastDay } = plan
  const rules = numericRules({ zone, protocol, firstDay, lastDay })
  const selection = roomForSelection(rules, columns)
  placeRows(selection, rules, columns)
  sameReadingAgain(selection)
  sameReadingElsewhere(selection)
  const counting = () => placed.filter((_, row) => selection.reasons[row] === COUNTS)
  const isAsAtHome = ({ session }: PlacedReading) => armGroup(session) === arm && siteGroup(session) === site
  const asAtHome = counting().filter(isAsAtHome)
  if (asAtHome.length > 0) return { used: asAtHome, ...statedArm(arm), ...statedSite(site) }
  chooseLimb(selection)
  return { used: counting(), ...statedArm(selection.arm), ...statedSite(selection.site) }
}

function isSeatedClinicReading({ session, reading }: PlacedReading): boolean {
  const { setting, position } = session
  const isComplete = reading.systolic !== null && reading.diastolic !== null
  return setting === 'clinic' && isComplete && !isStandingOrLying(position)
}
