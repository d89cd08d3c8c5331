import type { Protocol } from '../clinical/protocol/protocol.ts'
import { averageAgain, onDays } from './average-by-protocol.ts'
import { compareCounts } from './compared/compare-counts.ts'
import { compareIssued } from './compared/compare-issued.ts'
import { compareMeans } from './compared/compare-means.ts'
import { compareOwnBasis } from './compared/compare-own-basis.ts'
import { compareOwnStatements, hasOneOrder } from './compared/compare-own-statements.ts'
import { compareOwnText } from './compared/compare-own-text.ts'
import { compareCoveredPeriod, comparePlannedPeriod } from './compared/compare-period.ts'
import { compareReadings } from './compared/compare-readings.ts'
import { compareRepeats } from './compared/compare-repeats.ts'
import { compareStatedPlan } from './compared/compare-stated-plan.ts'
import { countText } from './figure-text.ts'
import { comparePlainAverage, comparePlainStatements } from './plain-average.ts'
import type { BundleReadings, TimedReading } from './readings/bundle-readings.ts'
import { linkedReadings } from './readings/derived-readings.ts'
import type { AverageDifference, RecomputedAverage } from './recomputed-average.ts'
import { MOST_READINGS, type RecomputeRun } from './run.ts'
import type { FoundAverage } from './stated/find-averages.ts'
import { labelledBy } from './stated/own-labels.ts'
import { type OwnStatements, ownStatements } from './stated/own-statements.ts'
import { type ReadingLink, statedCounts, statedMeans, statedReadings } from './stated/stated-average.ts'
import { statedProtocol } from './stated/stated-protocol.ts'
import { writtenDecimals } from './stated/written-decimals.ts'
import { statedDays } from './stated-days.ts'

/** Works one average out again and compares every statement of it that can be worked out. */
export function recomputeAverage(
  found: FoundAverage,
  bundle: BundleReadings,
  run: RecomputeRun,
): RecomputedAverage {
  const { average, kind } = found
  const { at } = average
  if (average.value.status === 'entered-in-error') return { ...cannot(at, TAKEN_BACK), takenBack: true }
  if (isTooLong(average.value.derivedFrom) || isTooLong(average.value.extension)) return cannot(at, TOO_MANY)
  const links = statedReadings(found)
  const own = ownStatements(found)
  const used = linkedReadings(found, links, bundle, 'it was derived from')
  const leftOut = linkedReadings(found, own?.exclusions ?? [], bundle, 'it leaves out')

  const parts = { found, links, own, used: used.readings, leftOut: leftOut.readings, bundle, run }
  const outcome =
    links.length === 0 && (own === undefined || kind === 'recording')
      ? NO_READINGS
      : (used.problem ?? outcomeOf(parts, leftOut.problem))
  const workedOut = typeof outcome === 'string' ? [] : outcome.differences
  const wrong = new Set(workedOut.map((one) => one.at))
  const differences = [
    ...used.differences,
    ...leftOut.differences,
    ...workedOut,
    ...compareIssued(average, own !== undefined),
    ...(own === undefined || kind === 'recording' ? [] : compareOwnBasis(found, own, wrong)),
    ...compareOwnText(found, own, wrong),
  ]
  const there = links.filter(({ target }) => target !== undefined).length
  const verdict = differences.length === 0 ? undefined : differing(differences, at)
  if (typeof outcome === 'string') return { ...cannot(at, outcome, there), ...verdict }
  if (outcome.notKnown !== undefined && verdict === undefined) return cannot(at, outcome.notKnown, there)
  return {
    at,
    ...(verdict ?? { verdict: 'agrees', differences }),
    ...(outcome.protocol === undefined ? {} : { protocol: outcome.protocol }),
    ...(outcome.assumed.length === 0 ? {} : { assumed: outcome.assumed }),
    readings: new Set([...used.readings, ...leftOut.readings]).size,
    sources: outcome.sources,
  }
}

function cannot(at: string, reason: string, readings = 0): RecomputedAverage {
  return { at, verdict: 'not-recomputable', differences: [], reason, readings, sources: [] }
}

/** What is seen to differ is told even where nothing more can be worked out. */
function differing(
  differences: readonly AverageDifference[],
  at: string,
): Pick<RecomputedAverage, 'verdict' | 'differences'> {
  return { verdict: 'differs', differences: capped(differences, at) }
}

interface Parts {
  readonly found: FoundAverage
  readonly links: readonly ReadingLink[]
  readonly own: OwnStatements | undefined
  readonly used: readonly TimedReading[]
  readonly leftOut: readonly TimedReading[]
  readonly bundle: BundleReadings
  readonly run: RecomputeRun
}

interface Outcome {
  readonly differences: readonly AverageDifference[]
  readonly protocol?: string
  readonly assumed: readonly string[]
  readonly sources: readonly string[]
  /** Why nothing more can be said where no difference shows. */
  readonly notKnown?: string
}

/**
 * A sentence where it cannot be worked out.
 *
 * @param notRead why what it leaves out cannot be read: which readings count is then not known, but what the average was
 *   derived from is there, and its mean with it.
 */
function outcomeOf(parts: Parts, notRead: string | undefined): Outcome | string {
  const { found, own, run } = parts
  if (notRead !== undefined) return withoutProtocol(parts, { assumed: [], notKnown: notRead })
  if (found.kind === 'recording') return withoutProtocol(parts, { assumed: [RECORDING] })
  const stated = statedProtocol(found.average, own, run.rules.protocols)
  if (stated.known === 'yes') return byProtocol(parts, stated.protocol, stated.byNote)
  if (stated.known === 'none-stated') {
    return withoutProtocol(parts, { assumed: [NO_PROTOCOL, ...notListed(parts)] })
  }
  return withoutProtocol(parts, { assumed: [UNKNOWN_PROTOCOL], notKnown: UNKNOWN_PROTOCOL })
}

function withoutProtocol(
  { found, links, own, used, bundle, run }: Parts,
  said: Pick<Outcome, 'assumed' | 'notKnown'>,
): Outcome | string {
  if (links.length === 0) return NO_READINGS
  if (!run.spend(used.length)) return TOO_MANY
  const { thresholdSets } = run.rules
  const differences = [
    ...comparePlainAverage(found, links, used, bundle, own, said.notKnown !== undefined),
    ...(own === undefined ? compareRepeats(links, used) : []),
    ...(found.kind === 'recording' && own !== undefined
      ? comparePlainStatements(own, used, thresholdSets, writtenDecimals(statedMeans(found), own))
      : []),
  ]
  const labels = own === undefined ? [] : labelledBy(own)
  return { ...said, differences, sources: labels.flatMap((id) => thresholdSets.get(id)?.citation.text ?? []) }
}

/** Readings of the days that the average does not list, a sentence; an average of ours names those it leaves out. */
function notListed({ found, own, used, bundle, run }: Parts): readonly string[] {
  const days = own === undefined ? statedDays(found, own, used, undefined) : undefined
  if (days === undefined) return []
  const listed = new Set(used)
  const around = onDays(found, days, bundle)
  const others = around.filter((one) => one.setting !== 'clinic' && !listed.has(one))
  const [first] = others
  if (first === undefined || !run.spend(around.length)) return []
  const [stand, are] = others.length === 1 ? ['stands', 'is'] : ['stand', 'are']
  return [
    `${countText(others.length, 'reading')} of these days ${stand} in the bundle and ${are} not among those it was derived from, the first ${first.found.at}; no protocol is stated that would say why.`,
  ]
}

function byProtocol(
  { found, links, own, used, leftOut, bundle, run }: Parts,
  protocol: Protocol,
  byNote: boolean,
): Outcome | string {
  const zone = own === undefined ? undefined : run.zone(own.zone)
  if (own !== undefined && zone === undefined) return UNKNOWN_ZONE
  const days = statedDays(found, own, used, zone)
  if (days === undefined) return NO_DAYS
  const labels = own === undefined ? [] : labelledBy(own)
  const sets = labels.flatMap((id) => run.rules.thresholdSets.get(id) ?? [])
  const listed = [...new Set([...used, ...leftOut])]
  const again = averageAgain(found, { protocol, days, own }, listed, bundle, sets, run)
  if (again === undefined) return TOO_MANY
  const { average, stated, assumed } = again

  const means = statedMeans(found)
  const decimals = own === undefined ? 0 : writtenDecimals(means, own)
  const averaged = average.used.flatMap(({ reading }) => stated.get(reading) ?? [])
  const selection = { average: found.average, derivedFrom: links, exclusions: own?.exclusions }
  const mean = { systolic: average.mean?.systolic, diastolic: average.mean?.diastolic }
  return {
    protocol: protocol.id,
    differences: [
      ...compareMeans(means, mean, decimals),
      ...compareCounts(statedCounts(found.average), average.used.length),
      ...(own === undefined
        ? [...compareCoveredPeriod(found.average, averaged), ...compareRepeats(links, used)]
        : comparePlannedPeriod(found.average, own)),
      ...compareStatedPlan(found.average, own, average),
      ...compareReadings(selection, average, stated),
      ...(own === undefined
        ? []
        : compareOwnStatements(own, average, decimals, new Set(sets.map(({ id }) => id)))),
    ],
    assumed: [
      ...(byNote ? [BY_NOTE] : []),
      ...assumed,
      ...(sets.length < labels.length ? [UNKNOWN_SET] : []),
      ...(own === undefined || hasOneOrder(average) ? [] : [NO_ORDER]),
    ],
    sources: [protocol.citation.text, ...sets.map(({ citation }) => citation.text)],
  }
}

const MOST_DIFFERENCES = 100

function capped(differences: readonly AverageDifference[], at: string): readonly AverageDifference[] {
  if (differences.length <= MOST_DIFFERENCES) return differences
  const more = differences.length - MOST_DIFFERENCES
  const last = { what: 'more differences', at, expected: 'none', found: `${more} beside those listed` }
  return [...differences.slice(0, MOST_DIFFERENCES), last]
}

function isTooLong(list: unknown): boolean {
  return Array.isArray(list) && list.length > MOST_READINGS
}

const TOO_MANY = `It rests on more readings than are worked out again: ${MOST_READINGS} for one average, and a limit for all of them together.`
const TAKEN_BACK = 'It was taken back (entered-in-error), and states nothing that could be true or false.'
const NO_READINGS = 'It names no reading that it was derived from.'
const NO_DAYS = 'The days it is of cannot be told from its period or its readings.'
const UNKNOWN_ZONE = 'The time zone it names is not known here.'
const UNKNOWN_PROTOCOL =
  'The protocol it names is not known here, so which readings count was not worked out: all readings it was derived from were averaged.'
const NO_PROTOCOL = 'No protocol is stated: all readings it was derived from were averaged as they are.'
const RECORDING =
  'Which readings a rule for 24-hour recordings lets count was not worked out: all readings it was derived from were averaged.'
const BY_NOTE = 'Only its notes name the protocol.'
const UNKNOWN_SET = 'A label by a threshold set that is not known here was not judged.'
const NO_ORDER =
  'Readings of different sittings were taken at one moment; how the readings vary depends on their order and was not judged.'
