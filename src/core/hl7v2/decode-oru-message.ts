import {
  type DecodedRecord,
  decodedFrom,
  type RefusedPart,
  refusedPart,
  remark,
} from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../basics/result.ts'
import type { SourceRecord } from '../basics/source-record.ts'
import { headerIssues, type MessageTree, messageTree } from './read-header.ts'
import { type OrderTree, type ReadingTree, type ReadOrder, readOrder } from './read-order.ts'
import { type ReadSegment, readSegments } from './read-segments.ts'
import { offsetOf } from './read-time.ts'

/** Who the message is about, by identifiers alone: names, birth dates and addresses are not read. */
export interface PatientTree {
  /** The identifier, where PID-3 has one only. */
  readonly id?: string
  readonly identifiers: readonly {
    readonly id: string
    readonly authority: string
    /** HL7 table 0203, such as MR. */
    readonly type: string
  }[]
}

/** What a mapping reads of one reading in a message. */
export interface OruTree {
  readonly message: MessageTree
  readonly patient: PatientTree
  readonly order: OrderTree
  readonly reading: ReadingTree
}

/** Readings one message may hold. A local choice: a month of three in the morning and three in the evening are 186. */
const MOST_READINGS = 1000

/**
 * Decodes an ORU^R01 into trees that a mapping reads: one record for each reading, which is what one OBR holds under one
 * sub-id. A reading that cannot be read is refused alone, and with its OBR all that stands under it; a message that cannot
 * be trusted as a whole, such as one of two patients, is refused. Issues are told by segment and field, such as `OBX[3]-5`,
 * all of them at once. Whether a result counts by its status (OBX-11) is the mapping's to say: withdrawn and preliminary
 * ones stand in the tree. Notes (NTE) and all segments but MSH, PID, OBR and OBX are left alone. Never throws.
 *
 * Each record's text is the part of the message it came from: MSH, PID, its OBR and its OBX.
 * Source: HL7 v2.5.1 section 7.3.1, ORU^R01.
 *
 * @param sent its text is the message, decoded as UTF-8.
 */
export function decodeOruMessage(sent: SourceRecord): Result<readonly (DecodedRecord | RefusedPart)[]> {
  const read = readSegments(sent.text)
  if (!read.ok) return read
  const { header, segments, remarks } = read.value
  const issues = [...headerIssues(header)]
  if (issues.some(({ at }) => at !== header.place(7)) && isNonEmpty(issues)) return refused(issues)

  const patients = segments.filter(({ name }) => name === 'PID')
  const [pid, second] = patients
  if (pid === undefined) issues.push(missing('PID', 'Say whose readings they are.'))
  if (second !== undefined) issues.push(secondPatient(second))
  const parts = ordersOf(segments)
  issues.push(...parts.issues)
  const messageOffset = offsetOf(header.text(7)) ?? ''
  const orders = parts.orders.map(({ request, observations }) =>
    readOrder(request, observations, messageOffset),
  )
  if (orders.reduce((sum, { readings }) => sum + readings.length, 0) > MOST_READINGS) issues.push(tooMany())
  if (isNonEmpty(issues)) return refused(issues)

  const shared = { message: messageTree(header), patient: patientTree(pid) }
  const context = [header.line, pid?.line ?? '']
  const recordOf = (value: OruTree | undefined, lines: readonly string[]) =>
    decodedFrom(sent, value, [...context, ...lines].map((line) => `${line}\r`).join(''))
  // What was noticed of the message is told once, with its first reading.
  let noticed: readonly Issue[] = [...remarks, ...toleratedTimes(orders)]
  const records: (DecodedRecord | RefusedPart)[] = []
  for (const { order, readings, lines: all, issues: ofAll } of orders) {
    if (isNonEmpty(ofAll)) {
      const ofEach = readings.flatMap((one) => one.issues)
      records.push(refusedPart(recordOf(undefined, all), [...ofAll, ...ofEach]))
      continue
    }
    for (const { reading, lines, issues: ofReading } of readings) {
      if (isNonEmpty(ofReading)) {
        records.push(refusedPart(recordOf(undefined, lines), ofReading))
        continue
      }
      records.push({ record: recordOf({ ...shared, order, reading }, lines), remarks: noticed })
      noticed = []
    }
  }
  return ok(records)
}

interface OrderSegments {
  readonly request: ReadSegment
  readonly observations: ReadSegment[]
}

function ordersOf(segments: readonly ReadSegment[]): {
  readonly orders: readonly OrderSegments[]
  readonly issues: readonly Issue[]
} {
  const orders: OrderSegments[] = []
  const issues: Issue[] = []
  let observed = 0
  for (const segment of segments) {
    const open = orders.at(-1)
    if (segment.name === 'OBR') {
      orders.push({ request: segment, observations: [] })
    } else if (segment.name === 'OBX') {
      observed += 1
      if (open !== undefined) open.observations.push(segment)
      else if (observed === 1) issues.push(beforeOrder(segment))
    }
  }
  if (orders.length === 0) issues.push(missing('OBR', 'Open the results of each report with an OBR.'))
  if (observed === 0) issues.push(missing('OBX', 'Send the readings as OBX.'))
  return { orders, issues }
}

function patientTree(pid: ReadSegment | undefined): PatientTree {
  const identifiers = []
  for (let at = 1; pid !== undefined && at <= pid.repetitions(3); at += 1) {
    const id = pid.text(3, 1, at)
    if (id !== '') identifiers.push({ id, authority: pid.text(3, 4, at), type: pid.text(3, 5, at) })
  }
  const [only, ...others] = identifiers
  return only === undefined || others.length > 0 ? { identifiers } : { id: only.id, identifiers }
}

function toleratedTimes(orders: readonly ReadOrder[]): readonly Issue[] {
  const tolerated = orders.flatMap((order) => order.tolerated)
  const [seconds, offset] = (['seconds', 'offset'] as const).map((what) =>
    tolerated.find(({ tolerance }) => tolerance === what),
  )
  return [
    ...(seconds === undefined
      ? []
      : [
          remark(
            seconds.at,
            'a time to the second',
            'None needed: the first second of the minute was taken.',
          ),
        ]),
    ...(offset === undefined
      ? []
      : [remark(offset.at, 'a time with its offset', 'None needed: the offset of MSH-7 was taken.')]),
  ]
}

function missing(segment: 'PID' | 'OBR' | 'OBX', remedy: string): Issue {
  return inputError('required', 'MISSING_KEY', segment, `a segment ${segment}`, remedy)
}

function secondPatient(segment: ReadSegment): Issue {
  const remedy = 'Send one message for each patient.'
  return inputError('not-supported', 'TOO_MANY', segment.place(), 'one patient in a message', remedy)
}

function beforeOrder(segment: ReadSegment): Issue {
  const remedy = 'Open the results of each report with an OBR.'
  return inputError('structure', 'STRUCTURE', segment.place(), 'an OBR before it', remedy)
}

function tooMany(): Issue {
  const expected = `at most ${MOST_READINGS} readings in one message`
  return inputError('too-long', 'TOO_MANY', '', expected, 'Send them in several messages.')
}
