import { dayNumberOf, type LocalDay, MINUTES_PER_DAY } from '../../../basics/local-day.ts'
import { clockOf, type ZoneClock } from '../../../basics/zone-clock.ts'
import type { Protocol } from '../../protocol/protocol.ts'
import { minuteOf } from '../../protocol/sitting-window.ts'
import type { Arm } from '../../session.ts'

/** What decides which readings count. A `PeriodPlan` is one. */
export interface SelectionRules {
  readonly protocol: Protocol
  /** IANA zone of the patient. */
  readonly zone: string
  /** First and last local day, both inside the period. */
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  /** The arm to use; absent: see `choose-limb.ts`. */
  readonly arm?: Arm
}

/** The same in numbers. */
export interface NumericRules {
  readonly protocol: Protocol
  readonly clock: ZoneClock
  readonly firstDay: number
  readonly lastDay: number
  /** Place of the sitting window in the protocol's list, by minute of the day; `NO_WINDOW` for none. */
  readonly windowAt: Int8Array
  readonly arm: Arm | undefined
}

export const NO_WINDOW = -1

export function numericRules({ protocol, zone, firstDay, lastDay, arm }: SelectionRules): NumericRules {
  return {
    protocol,
    clock: clockOf(zone),
    firstDay: numberOf(firstDay),
    lastDay: numberOf(lastDay),
    windowAt: windowsByMinute(protocol),
    arm,
  }
}

const DAYS_REMEMBERED = 1024
const dayNumbers = new Map<LocalDay, number>()

/** A sweep asks for the same two days again and again; reading them anew takes longer than some rules do. */
function numberOf(day: LocalDay): number {
  let number = dayNumbers.get(day)
  if (number === undefined) {
    number = dayNumberOf(day)
    if (dayNumbers.size >= DAYS_REMEMBERED) dayNumbers.clear()
    dayNumbers.set(day, number)
  }
  return number
}

const windowsOf = new WeakMap<Protocol, Int8Array>()

/** Windows do not overlap, so each minute has one at most. */
function windowsByMinute(protocol: Protocol): Int8Array {
  let windows = windowsOf.get(protocol)
  if (windows === undefined) {
    windows = new Int8Array(MINUTES_PER_DAY).fill(NO_WINDOW)
    for (const [place, { from, to }] of protocol.sittings.entries())
      windows.fill(place, minuteOf(from), minuteOf(to))
    windowsOf.set(protocol, windows)
  }
  return windows
}
