import { isJsonObject, type JsonObject } from '../../basics/json-object.ts'
import type { PeriodAverage } from '../../clinical/averaging/period-average.ts'
import { type Session, timeOf } from '../../clinical/session.ts'
import { periodStatistics } from '../../clinical/statistics/period-statistics.ts'
import { ownAverageExtensions } from '../../fhir/average/average-extensions.ts'
import { OWN_EXTENSIONS, ownUrls } from '../../fhir/own-urls.ts'
import type { Found } from '../found.ts'
import type { AverageDifference } from '../recomputed-average.ts'
import { type OwnStatements, partOf } from '../stated/own-statements.ts'
import { compareExtension, type ExpectedExtension } from './compare-extensions.ts'

/**
 * Everything an average says about itself in our own extensions, but for its plan and the readings left out, beside
 * what this gateway would write of the average worked out again.
 */
export function compareOwnStatements(
  { base, extensions }: OwnStatements,
  average: PeriodAverage,
  decimals: 0 | 1,
  knownSets: ReadonlySet<string>,
): readonly AverageDifference[] {
  const recomputed = withStatedFlags(average, extensions.get(OWN_EXTENSIONS.sensitivity)?.[0])
  const expected = expectedExtensions(recomputed, base, decimals)
  return COMPARED.flatMap(([kind, what]) => {
    const url = ownUrls(base).extension[kind]
    return (extensions.get(OWN_EXTENSIONS[kind]) ?? []).flatMap((all): readonly AverageDifference[] => {
      const stated = withoutUnknownLabels(all, knownSets)
      if (kind === 'averageStatistics' && !hasOneOrder(recomputed)) return []
      if (kind === 'sensitivity' && !canTellFlagged(stated, recomputed)) return []
      if (kind === 'averageLabel' && isUnknownLabel(stated.value, knownSets)) return []
      const name = nameOf(stated)
      const words = name === '' ? what : `${what} (${name})`
      const one = expected.find(
        ({ asWritten }) => asWritten.url === url && nameOf({ value: { ...asWritten }, at: '' }) === name,
      )
      if (one !== undefined) return compareExtension(words, stated, one)
      return [
        {
          what: words,
          at: stated.at,
          expected: 'nothing: its readings do not give one',
          found: 'a statement',
        },
      ]
    })
  })
}

const COMPARED: readonly (readonly [kind: keyof typeof OWN_EXTENSIONS, what: string])[] = [
  ['readingsReceived', 'number of readings received'],
  ['sufficiency', 'sufficiency'],
  ['adherence', 'schedule kept'],
  ['meanPulse', 'mean pulse'],
  ['averageLabel', 'label'],
  ['windowMean', 'mean of a part of the day'],
  ['sensitivity', 'average without flagged readings'],
  ['interArmDifference', 'difference between the arms'],
  ['averageStatistics', 'how the readings vary'],
]

/** Written as this gateway writes them; readings left out are compared elsewhere, by their references. */
function expectedExtensions(
  recomputed: PeriodAverage,
  canonicalBase: string,
  decimals: 0 | 1,
): readonly ExpectedExtension[] {
  const statistics = periodStatistics(recomputed)
  const report = {
    average: { ...recomputed, leftOut: [] },
    ...(statistics === undefined ? {} : { statistics }),
  }
  const written = (digits: 0 | 1) =>
    ownAverageExtensions(report, { canonicalBase, source: '', decimals: digits })
  const finer = decimals === 1 ? undefined : written(1)
  return written(decimals).map(
    (asWritten, place): ExpectedExtension => ({ asWritten, finer: finer?.[place] ?? asWritten }),
  )
}

/** What tells several of one kind apart: the window, or the threshold set and the window. */
function nameOf(extension: Found): string {
  return ['thresholdSet', 'window']
    .flatMap((name) => {
      const text = partOf(extension, name)?.value.valueString
      return typeof text === 'string' ? [text] : []
    })
    .join(', ')
}

/**
 * A bundle says in words what was noticed about a reading and not what the clinic’s policy makes of it. Where as many
 * readings are said to be flagged as something was noticed about, they are those; where fewer are, it cannot be told
 * which, but for none.
 */
function canTellFlagged(stated: Found, { sensitivity }: PeriodAverage): boolean {
  const flagged = flaggedReadings(stated)
  return flagged === undefined || flagged >= sensitivity.flaggedReadings
}

/** Without a flagged reading the average without flagged readings is the average. */
function withStatedFlags(average: PeriodAverage, stated: Found | undefined): PeriodAverage {
  if (stated === undefined || flaggedReadings(stated) !== 0) return average
  const { mean, labels } = average
  return {
    ...average,
    sensitivity: { ...(mean === undefined ? {} : { mean }), labels, flaggedReadings: 0 },
  }
}

/**
 * Whether the order of the readings is told by their times. Sittings of one moment go by an id that the bundle does not
 * hold, and how readings vary depends on their order.
 */
export function hasOneOrder({ used, leftOut }: PeriodAverage): boolean {
  const once = leftOut.filter(({ reason }) => reason !== 'same-reading-again' && reason !== 'withdrawn')
  const sittings = new Map<number, Session>()
  return [...used, ...once.map(({ placed }) => placed)].every(({ session, reading }) => {
    const { epochMs } = timeOf(reading, session)
    const other = sittings.get(epochMs)
    sittings.set(epochMs, session)
    return other === undefined || other === session
  })
}

function flaggedReadings(sensitivity: Found): number | undefined {
  const flagged = partOf(sensitivity, 'flaggedReadings')?.value.valueInteger
  return typeof flagged === 'number' ? flagged : undefined
}

/** Labels by sets that are not known here cannot be judged. What is left keeps its place. */
function withoutUnknownLabels({ value, at }: Found, knownSets: ReadonlySet<string>): Found {
  if (!Array.isArray(value.extension)) return { value, at }
  const extension = value.extension.map((part: unknown) =>
    isJsonObject(part) && part.url === 'label' && isUnknownLabel(part, knownSets) ? null : part,
  )
  return { value: { ...value, extension }, at }
}

function isUnknownLabel(label: JsonObject, knownSets: ReadonlySet<string>): boolean {
  const id = partOf({ value: label, at: '' }, 'thresholdSet')?.value.valueString
  return typeof id === 'string' && !knownSets.has(id)
}
