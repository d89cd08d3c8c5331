import { remark } from '../basics/decoded-record.ts'
import { type Issue, inputError } from '../basics/issue.ts'
import type { PressureUnit } from '../basics/pressure.ts'
import { ok, type Result, refused } from '../basics/result.ts'
import { type MonitorFeatures, type MonitorStatus, readStatus } from './monitor-status.ts'
import { OctetCursor } from './octet-cursor.ts'
import { type AbsentReason, readShortFloat } from './short-float.ts'
import { enhancedTime, readDateTime, type TimeStamp } from './time-stamp.ts'

/** One measurement of a monitor, as a plain JSON tree. What the monitor did not send, or sent as no number, is absent. */
export interface Measurement {
  readonly unit: PressureUnit
  readonly systolic?: number
  readonly diastolic?: number
  /** Mean arterial pressure of the one measurement: never a mean of readings. */
  readonly meanArterial?: number
  /** Beats per minute. */
  readonly pulse?: number
  /** By the monitor, where it gave an offset: RFC 3339. */
  readonly takenAt?: string
  /** By the monitor, where it gave none: what its clock showed, `2026-03-29T07:15:00`. */
  readonly clockShowed?: string
  /** Whether there is a time of the monitor, or only the app's time of receipt. */
  readonly timeFrom: 'monitor' | 'receipt'
  /** Which of the monitor's users, 0 to 254; `unknown` when the monitor does not know. */
  readonly user?: number | 'unknown'
  readonly status: MonitorStatus
  /** Why a number that has its place in the measurement is absent. */
  readonly absent: Partial<Record<Measured, AbsentReason>>
}

type Measured = 'systolic' | 'diastolic' | 'meanArterial' | 'pulse'

/** The two characteristics that carry a finished measurement: 0x2A35 and 0x2B34. */
export type Layout = 'measurement' | 'enhanced'

/** Bits of the flags that announce nothing yet. */
const RESERVED_FLAGS: Readonly<Record<Layout, number>> = { measurement: 0xe0, enhanced: 0x80 }

/** Flags and three pressures, which are always there. */
const FIXED_OCTETS = 7

/**
 * Reads the value of a Blood Pressure Measurement (0x2A35) or an Enhanced one (0x2B34). Little-endian: flags, systolic,
 * diastolic and mean arterial pressure, then what the flags announce: time stamp, pulse, user, status, and in the
 * enhanced one the user facing time.
 *
 * Fewer bytes than the flags announce are refused, with nothing read. More are passed over with a remark: a collector
 * ignores octets it does not understand (from memory: Bluetooth test suite of the Blood Pressure Profile), as it does
 * reserved flags.
 * Source: Bluetooth GATT Specification Supplement, Blood Pressure Measurement, Enhanced Blood Pressure Measurement.
 *
 * @param features undefined where the Feature word did not come along.
 */
export function readMeasurement(
  octets: Uint8Array,
  layout: Layout,
  features: MonitorFeatures | undefined,
): Result<{ readonly measurement: Measurement; readonly remarks: readonly Issue[] }> {
  const flags = octets[0] ?? 0
  const has = (bit: number) => (flags & (1 << bit)) !== 0
  const enhanced = layout === 'enhanced'
  const announced =
    FIXED_OCTETS +
    (has(1) ? (enhanced ? 4 : 7) : 0) +
    (has(2) ? 2 : 0) +
    (has(3) ? 1 : 0) +
    (has(4) ? 2 : 0) +
    (enhanced && has(5) ? 4 : 0)
  if (octets.length < announced) return refused([truncated(announced)])

  const remarks: Issue[] = []
  if ((flags & RESERVED_FLAGS[layout]) !== 0) remarks.push(RESERVED)
  if (octets.length > announced) remarks.push(beyond(announced))

  const cursor = new OctetCursor(octets.subarray(1))
  const numbers: Partial<Record<Measured, number>> = {}
  const absent: Partial<Record<Measured, AbsentReason>> = {}
  const measure = (what: Measured): void => {
    const read = readShortFloat(cursor.word())
    if ('value' in read) numbers[what] = read.value
    else absent[what] = read.absent
  }
  measure('systolic')
  measure('diastolic')
  measure('meanArterial')
  const stampAt = cursor.at + 1
  const dateTime = has(1) && !enhanced ? readDateTime(cursor) : undefined
  const stamp = has(1) && enhanced ? cursor.doubleWord() : undefined
  if (has(2)) measure('pulse')
  const user = has(3) ? cursor.octet() : undefined
  const statusAt = cursor.at + 1
  const word = has(4) ? cursor.word() : undefined
  const said = readStatus(word, features, `value[${statusAt}]`)
  remarks.push(...said.remarks)
  const userFacing = enhanced && has(5) ? cursor.doubleWord() : undefined
  const time = enhanced ? enhancedTime(has(6) ? 2000 : 1900, stamp, userFacing) : dateTime
  remarks.push(...timeRemarks(time, `value[${stampAt}]`))

  if (numbers.systolic === undefined && numbers.diastolic === undefined)
    return refused([noPressure('systolic', 1, absent), noPressure('diastolic', 3, absent)])
  return ok({
    measurement: {
      unit: has(0) ? 'kPa' : 'mmHg',
      ...numbers,
      ...timeOf(time),
      ...(user === undefined ? {} : { user: user === UNKNOWN_USER ? 'unknown' : user }),
      status: said.status,
      absent,
    },
    remarks,
  })
}

/** Source: Bluetooth GATT Specification Supplement, Blood Pressure Measurement, user ID. */
const UNKNOWN_USER = 0xff

function timeOf(time: TimeStamp | undefined): Pick<Measurement, 'takenAt' | 'clockShowed' | 'timeFrom'> {
  if (time === undefined || 'absent' in time) return { timeFrom: 'receipt' }
  const hasOffset = /(?:Z|[+-]\d\d:\d\d)$/.test(time.text)
  return { ...(hasOffset ? { takenAt: time.text } : { clockShowed: time.text }), timeFrom: 'monitor' }
}

function timeRemarks(
  time: (TimeStamp & { readonly oddOffset?: true }) | undefined,
  at: string,
): readonly Issue[] {
  const set = 'Set the clock of the monitor; the time of receipt stands in.'
  if (time === undefined) return []
  if ('absent' in time)
    return [
      time.absent === 'unknown'
        ? remark(at, 'a time stamp whose day the monitor knows', set)
        : remark(at, 'a time stamp on a day and at an hour that exist', set),
    ]
  if (time.oddOffset === undefined) return []
  const expected = 'a user facing time that differs from UTC by whole quarters of an hour, 14 hours at most'
  return [remark(at, expected, 'Check the clock of the monitor; its UTC time was taken.')]
}

function truncated(announced: number): Issue {
  return inputError(
    'structure',
    'TRUNCATED',
    'value',
    `${announced} bytes at least, as its flags announce`,
    'Send the whole value of the indication; nothing of it was read.',
  )
}

const RESERVED = remark(
  'value[0]',
  'reserved bits of the flags to be 0',
  'None needed: what is known was read.',
)

function beyond(announced: number): Issue {
  const expected = `no more than the ${announced} bytes its flags announce`
  return remark(`value[${announced}]`, expected, 'None needed: the rest was passed over.')
}

function noPressure(what: 'systolic' | 'diastolic', at: number, absent: Measurement['absent']): Issue {
  return inputError(
    'business-rule',
    'NOT_A_MEASUREMENT',
    `value[${at}]`,
    `a ${what} pressure, where the monitor sent ${absent[what]}`,
    'Leave the attempt out: the monitor measured neither pressure.',
  )
}
