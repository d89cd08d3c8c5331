import { isCalendarDayText, readInstant } from '../../basics/instant.ts'
import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import { FIRST_YEAR, LAST_YEAR } from '../../clinical/plausibility/hard-limits.ts'
import { CLOCK_TOLERANCE_MS } from '../../clinical/plausibility/limits.ts'
import type { Report } from '../layer.ts'
import { implausible } from './implausible.ts'

/**
 * When a blood pressure or a pulse cannot have been measured. The validator has no clock, so that the same resource is
 * always judged alike: a time lies in the future where it is after the Observation was issued, or, if that is not said,
 * after the bundle it came in was made, by more than clocks may differ.
 *
 * @param ofMeans whether the Observation is an average. When it was issued is then compared with its whole period, where
 *   averages are worked out again.
 */
export function reportTimes(
  observation: JsonObject,
  at: string,
  container: JsonObject | undefined,
  ofMeans: boolean,
  report: Report,
): void {
  const { effectivePeriod } = observation
  const time = observation.effectiveDateTime ?? observation.effectiveInstant
  if (typeof time === 'string') reportTime(time, `${at}.effective`, observation, container, ofMeans, report)
  if (!isJsonObject(effectivePeriod)) return
  const { start, end } = effectivePeriod
  if (typeof start === 'string')
    reportTime(start, `${at}.effective.start`, observation, container, ofMeans, report)
  if (typeof end === 'string' && !isYearOfMonitors(end))
    report(implausible(`${at}.effective.end`, ...WRONG_YEAR))
}

function reportTime(
  time: string,
  at: string,
  observation: JsonObject,
  container: JsonObject | undefined,
  ofMeans: boolean,
  report: Report,
): void {
  if (!isYearOfMonitors(time)) report(implausible(at, ...WRONG_YEAR))
  else if (!ofMeans && isAfter(time, observation.issued)) report(implausible(at, ...AFTER_ISSUE))
  else if (!ofMeans && observation.issued === undefined && container?.resourceType === 'Bundle') {
    if (isAfter(time, container.timestamp)) report(implausible(at, ...AFTER_BUNDLE))
  }
}

/** What is no time at all is for the walk of the elements to report. */
function isYearOfMonitors(text: string): boolean {
  return !/^\d{4}/.test(text) || (text >= FIRST && text < AFTER_LAST)
}

const FIRST = String(FIRST_YEAR)
const AFTER_LAST = String(LAST_YEAR + 1)

function isAfter(time: string, known: unknown): boolean {
  const knownMs = typeof known === 'string' ? readInstant(known)?.epochMs : undefined
  return knownMs !== undefined && earliestMs(time) > knownMs + CLOCK_TOLERANCE_MS.ahead
}

/** When it can have been at the earliest, epoch ms: a day, a month or a year begins 14 hours sooner where offsets end. */
function earliestMs(time: string): number {
  const instant = readInstant(time)
  if (instant !== undefined) return instant.epochMs
  const day = `${time}${'-01-01'.slice(time.length - 4)}`
  return isCalendarDayText(day) ? Date.parse(day) - EASTERNMOST_MS : Number.NaN
}

const EASTERNMOST_MS = 14 * 60 * 60 * 1000

const WRONG_YEAR = [
  `a time from ${FIRST_YEAR} to ${LAST_YEAR}: a clock outside them was never set`,
  'Set the clock of the monitor or app, and send the real time.',
] as const

const WRONG_CLOCK = 'Check the clock of the monitor or app, and correct whichever of the two is wrong.'
const AFTER_ISSUE = [
  'a time of measurement no later than the Observation was issued, give or take 5 min',
  WRONG_CLOCK,
] as const
const AFTER_BUNDLE = [
  'a time of measurement no later than the bundle was made, give or take 5 min',
  WRONG_CLOCK,
] as const
