import { addDays, startOfDay } from '../basics/local-day.ts'
import { averagePeriod } from '../clinical/averaging/average-period.ts'
import type { PeriodAverage, PeriodPlan } from '../clinical/averaging/period-average.ts'
import type { Protocol } from '../clinical/protocol/protocol.ts'
import type { ThresholdSet } from '../clinical/protocol/threshold-set.ts'
import type { Reading } from '../clinical/session.ts'
import type { BundleReadings, TimedReading } from './readings/bundle-readings.ts'
import { dayOnOwnClock } from './readings/own-clock.ts'
import { REGROUPED_POLICY, regroupSittings } from './readings/regroup-sittings.ts'
import { MOST_READINGS, type RecomputeRun } from './run.ts'
import type { FoundAverage } from './stated/find-averages.ts'
import type { OwnStatements } from './stated/own-statements.ts'
import { type Limb, statedLimb } from './stated/stated-limb.ts'
import type { StatedDays } from './stated-days.ts'

/** An average worked out again, with the readings of the bundle behind those of its sittings. */
export interface AverageAgain {
  readonly average: PeriodAverage
  readonly stated: ReadonlyMap<Reading, TimedReading>
  readonly assumed: readonly string[]
}

/**
 * Averages by the protocol, with the one engine there is, every reading that the average lists as used or left out and
 * every other reading of the patient that stands on the days of the plan. Undefined where there are too many.
 */
export function averageAgain(
  found: FoundAverage,
  {
    protocol,
    days,
    own,
  }: { readonly protocol: Protocol; readonly days: StatedDays; readonly own: OwnStatements | undefined },
  listed: readonly TimedReading[],
  bundle: BundleReadings,
  sets: readonly ThresholdSet[],
  run: RecomputeRun,
): AverageAgain | undefined {
  const readings = [...new Set([...listed, ...onDays(found, days, bundle)])]
  if (readings.length > MOST_READINGS || !run.spend(readings.length)) return undefined
  const reasons = new Map(own?.exclusions.map(({ target, reason }) => [target?.value, reason]))
  const places = new Map(readings.map((reading, place) => [reading, place]))
  const limb = own === undefined ? limbOfThoseThatSay(found, readings) : AS_STATED
  const ownClocks = days.zone === undefined
  const { sittings, stated, byTime } = regroupSittings(readings, bundle, {
    ownClocks,
    ...limb,
    excluded: ({ found: { value }, noticed }) => noticed && reasons.get(value) === 'excluded-by-policy',
    rank: (reading) => ({
      late: COMES_LATER.indexOf(reasons.get(reading.found.value) ?? '') + 1,
      place: places.get(reading) ?? readings.length,
    }),
  })
  const { firstDay, lastDay, zone = 'UTC', arm } = days
  const plan: PeriodPlan = {
    protocol,
    zone,
    policy: REGROUPED_POLICY,
    firstDay,
    lastDay,
    ...(arm === undefined ? {} : { arm }),
  }
  const assumed = [
    ...(byTime ? [ASSUMED.sittings] : []),
    ...(ownClocks ? [ASSUMED.clock] : []),
    ...(readings.some((one) => one.setting === undefined) ? [ASSUMED.setting] : []),
    ...(own === undefined && readings.some((one) => one.limb.arm === undefined) ? [ASSUMED.arm] : []),
  ]
  return { average: averagePeriod(plan, sittings, sets), stated, assumed }
}

const ASSUMED = {
  sittings:
    'The bundle does not say which readings belong to one sitting: those at most 30 minutes apart were taken as one.',
  clock: 'The time zone is not stated: each reading was placed on the day and hour it is written with.',
  setting: 'Readings that do not say where they were taken were taken for readings at home.',
  arm: 'Readings that do not name the arm were taken for readings of the arm that was averaged.',
} as const

/**
 * Sittings of one moment go by an id that the bundle does not hold. Which went first shows in why readings are left out,
 * as only a later sitting is a further one or sends a reading again, and in the order in which readings are listed.
 */
const COMES_LATER: readonly string[] = ['extra-sitting', 'same-reading-again']

/** Readings of the patient that stand on the days, on their clock or each on its own. */
export function onDays(
  { average }: FoundAverage,
  { firstDay, lastDay, zone, fromMs, toMs }: StatedDays,
  bundle: BundleReadings,
): readonly TimedReading[] {
  if (zone !== undefined) {
    return bundle.ofPatientOf(average, startOfDay(firstDay, zone), startOfDay(addDays(lastDay, 1), zone) - 1)
  }
  // No offset is further than 14 hours from UTC.
  const from = startOfDay(addDays(firstDay, -1), 'UTC')
  const to = startOfDay(addDays(lastDay, 2), 'UTC')
  return bundle
    .ofPatientOf(average, Math.max(from, fromMs ?? from), Math.min(to, toMs ?? to))
    .filter(({ takenAt }) => {
      const day = dayOnOwnClock(takenAt)
      return firstDay <= day && day <= lastDay
    })
}

/** This gateway writes the limb wherever it is stated, and averages what does not state it as a group of its own. */
const AS_STATED: Limb = {}

/** What the average says of its limb, else what most readings say; where none says anything all are of one group. */
function limbOfThoseThatSay({ average }: FoundAverage, readings: readonly TimedReading[]): Limb {
  const said = statedLimb(average.value.bodySite)
  const rights = readings.filter(({ limb }) => limb.arm === 'right').length
  const lefts = readings.filter(({ limb }) => limb.arm === 'left').length
  const wrists = readings.filter(({ limb }) => limb.site === 'wrist').length
  const uppers = readings.filter(({ limb }) => limb.site === 'upper-arm').length
  const arm = said.arm ?? (rights + lefts === 0 ? undefined : rights > lefts ? 'right' : 'left')
  const site = said.site ?? (wrists + uppers === 0 ? undefined : wrists > uppers ? 'wrist' : 'upper-arm')
  return { ...(arm === undefined ? {} : { arm }), ...(site === undefined ? {} : { site }) }
}
