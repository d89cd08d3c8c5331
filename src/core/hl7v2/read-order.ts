import { type Issue, inputError } from '../basics/issue.ts'
import { codesOf, measuredBy, type ReadCode, type ResultTree, readResult, unitIssue } from './read-result.ts'
import type { ReadSegment } from './read-segments.ts'
import { type ReadTime, readTime } from './read-time.ts'
import { HAS_OFFSET, isOfOneInflation, isSameMoment } from './same-moment.ts'

/** One OBR with its OBX. */
export interface OrderTree {
  /** OBR-3: the number under which a correction comes again. */
  readonly filler: { readonly id: string; readonly namespace: string }
  /** OBR-4. */
  readonly codes: readonly ReadCode[]
  /** OBR-7, as RFC 3339 or what a clock showed. */
  readonly at?: string
  /** OBR-8: with it the report is of a period. */
  readonly until?: string
  /** OBR-25, HL7 table 0123. */
  readonly status: string
  /** Results without a sub-id, where others of the order have one: they hold for all its readings. */
  readonly shared: readonly ResultTree[]
}

/** Results that belong together: those of one sub-id. */
export interface ReadingTree {
  /** OBX-4, or the channel in it; empty where the order has none. */
  readonly subId: string
  /** OBX-14 of its pressures, of its first result that has one, or OBR-7: RFC 3339. */
  readonly at?: string
  /** The same where no offset is known: what a clock showed. */
  readonly clockShowed?: string
  /** OBX-18. */
  readonly device?: { readonly id: string; readonly namespace: string }
  /** The one unit of its pressures. */
  readonly unit?: string
  readonly results: readonly ResultTree[]
}

export interface ReadOrder {
  readonly order: OrderTree
  readonly readings: readonly {
    readonly reading: ReadingTree
    /** Segments it came from: its OBR, its own OBX and those that are shared. */
    readonly lines: readonly string[]
    /** What is wrong with this reading alone. */
    readonly issues: readonly Issue[]
  }[]
  /** All its segments. */
  readonly lines: readonly string[]
  /** What is wrong with what all its readings share: its OBR, or results without a sub-id. */
  readonly issues: readonly Issue[]
  /** Times that were read with a tolerance, and where. */
  readonly tolerated: readonly { readonly at: string; readonly tolerance: 'seconds' | 'offset' }[]
}

/** Results without a sub-id that hold for all readings of an order: each is told with every reading. A local choice. */
const MOST_SHARED = 20

interface Observed {
  readonly segment: ReadSegment
  readonly result: ResultTree
  readonly at?: string
}

/** The OBX of one sub-id. */
interface Group {
  readonly observed: Observed[]
  readonly lines: string[]
  readonly issues: Issue[]
}

/**
 * Reads one OBR and the OBX behind it. Results of one sub-id (OBX-4) are one reading; those without one hold for every
 * reading of the order, or are the one reading where none has a sub-id. Two results of one reading cannot be the same
 * measurement, nor two pressures of different moments or units, nor a pulse of another minute. What is wrong with a result
 * is wrong with its reading, and with one that is shared, with the order. Source: HL7 v2.5.1 sections 7.4.1, 7.4.2 and
 * 7.4.2.4.
 *
 * @param observations OBX of the order, in their order.
 * @param messageOffset of MSH-7, for times without one.
 */
export function readOrder(
  request: ReadSegment,
  observations: readonly ReadSegment[],
  messageOffset: string,
): ReadOrder {
  const issues: Issue[] = []
  const tolerated: { at: string; tolerance: 'seconds' | 'offset' }[] = []
  const timeOf = (segment: ReadSegment, field: number, noted: Issue[]): string | undefined => {
    const written = segment.text(field)
    if (written === '') return undefined
    const time = readTime(written, messageOffset)
    if (time === undefined) noted.push(badTime(segment, field))
    else if (time.tolerance !== undefined)
      tolerated.push({ at: segment.place(field), tolerance: time.tolerance })
    return (time satisfies ReadTime | undefined)?.text
  }
  const [at, until] = [timeOf(request, 7, issues), timeOf(request, 8, issues)]
  const bySubId = new Map<string, Group>()
  for (const segment of observations) {
    const subId = readingId(segment.whole(4))
    const group: Group = bySubId.get(subId) ?? { observed: [], lines: [], issues: [] }
    bySubId.set(subId, group)
    group.lines.push(segment.line)
    const result = readResult(segment)
    const time = timeOf(segment, 14, group.issues)
    if (result.ok)
      group.observed.push({ segment, result: result.value, ...(time === undefined ? {} : { at: time }) })
    else group.issues.push(...result.issues)
  }
  const sharing = bySubId.size > 1 ? bySubId.get('') : undefined
  if (sharing !== undefined) {
    bySubId.delete('')
    issues.push(...sharing.issues, ...sharedIssues(sharing.observed))
  }
  const shared = sharing?.observed ?? []
  const order: OrderTree = {
    filler: { id: request.text(3, 1), namespace: request.text(3, 2) },
    codes: codesOf(request, 4),
    ...(at === undefined ? {} : { at }),
    ...(until === undefined ? {} : { until }),
    status: request.text(25),
    shared: shared.map(({ result }) => result),
  }
  const sharedLines = sharing?.lines.slice(0, MOST_SHARED) ?? []
  const readings = [...bySubId].map(([subId, group]) => ({
    reading: readingOf(subId, group.observed, at),
    lines: [request.line, ...sharedLines, ...group.lines],
    issues: [...group.issues, ...groupIssues(group.observed, at)],
  }))
  const lines = [request, ...observations].map(({ line }) => line)
  return { order, readings, lines, issues, tolerated }
}

function* sharedIssues(shared: readonly Observed[]): Generator<Issue> {
  for (const [index, { segment, result }] of shared.entries()) {
    if (index === MOST_SHARED) yield tooManyShared(segment)
    if (measuredBy(result) !== undefined) yield withoutSubId(segment)
  }
}

/**
 * What tells the readings of an order apart: the sub-id, or of a containment path of IHE PCD-01 (device, subsystem,
 * channel, metric) its channel, because each metric of one inflation has a path of its own.
 */
function readingId(subId: string): string {
  return /^(\d+\.\d+\.\d+)(?:\.\d+)+$/.exec(subId)?.[1] ?? subId
}

function readingOf(subId: string, group: readonly Observed[], orderAt: string | undefined): ReadingTree {
  const pressures = group.filter(({ result }) => isPressure(result))
  const at = [...pressures, ...group].find((one) => one.at !== undefined)?.at ?? orderAt
  const device = group.find(({ segment }) => segment.text(18) !== '')?.segment
  const unit = pressures.find(({ result }) => result.unit !== undefined)?.result.unit
  return {
    subId,
    ...(at === undefined ? {} : HAS_OFFSET.test(at) ? { at } : { clockShowed: at }),
    ...(device === undefined ? {} : { device: { id: device.text(18, 1), namespace: device.text(18, 2) } }),
    ...(unit === undefined ? {} : { unit }),
    results: group.map(({ result }) => result),
  }
}

/** @param orderAt holds for a result without a time of its own: HL7 v2.5.1 section 7.4.2.14. */
function* groupIssues(group: readonly Observed[], orderAt: string | undefined): Generator<Issue> {
  const seen = new Map<string, ReadSegment>()
  let first: Observed | undefined
  let unit: string | undefined
  for (const one of group) {
    const { segment, result } = one
    const measured = measuredBy(result)
    if (measured === undefined) continue
    const earlier = seen.get(measured)
    if (earlier === undefined) seen.set(measured, segment)
    else yield again(segment, earlier)
    if (!isPressure(result)) continue
    if (result.value !== undefined && result.unit === undefined) yield unitIssue(segment)
    unit ??= result.unit
    if (result.unit !== undefined && result.unit !== unit) yield otherUnit(segment)
    first ??= one
    // A time that cannot be read is told as that.
    const isRead = one.at !== undefined || segment.text(14) === ''
    if (isRead && !isSameMoment(one.at ?? orderAt, first.at ?? orderAt))
      yield otherTime(segment, first.segment)
  }
  const at = first?.at ?? orderAt
  for (const { segment, result, at: own } of group) {
    if (first === undefined || at === undefined || own === undefined || measuredBy(result) !== 'pulse')
      continue
    if (!isOfOneInflation(own, at)) yield otherTime(segment, first.segment)
  }
}

function isPressure(result: ResultTree): boolean {
  const measured = measuredBy(result)
  return measured === 'systolic' || measured === 'diastolic'
}

function tooManyShared(segment: ReadSegment): Issue {
  const expected = `at most ${MOST_SHARED} results without a sub-id`
  const remedy = 'Give the results of each reading a sub-id of their own.'
  return inputError('too-long', 'TOO_MANY', segment.place(4), expected, remedy)
}

function badTime(segment: ReadSegment, field: number): Issue {
  const expected = 'a time to the minute or second, such as 20261124213005+0100'
  const remedy = 'Send a time of that form, on a day that exists.'
  return inputError('value', 'BAD_TIME', segment.place(field), expected, remedy)
}

function again(segment: ReadSegment, earlier: ReadSegment): Issue {
  const expected = `a sub-id that tells it from ${earlier.place()}`
  const remedy = 'Give the results of each reading a sub-id of their own.'
  return inputError('duplicate', 'TOO_MANY', segment.place(4), expected, remedy)
}

function withoutSubId(segment: ReadSegment): Issue {
  const expected = 'a sub-id, as other results of the order have one'
  const remedy = 'Give the results of each reading a sub-id of their own.'
  return inputError('required', 'MISSING_KEY', segment.place(4), expected, remedy)
}

function otherUnit(segment: ReadSegment): Issue {
  const remedy = 'Send both pressures as the monitor showed them.'
  return inputError('value', 'CODE', segment.place(6), 'the unit of the other pressure', remedy)
}

function otherTime(segment: ReadSegment, first: ReadSegment): Issue {
  const expected = `the moment of ${first.place(14)}: both are of one inflation`
  const remedy = 'Give the results of each reading a sub-id of their own.'
  return inputError('value', 'BAD_TIME', segment.place(14), expected, remedy)
}
