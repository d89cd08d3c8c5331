import type { ExactMean } from '../../src/core/basics/exact-mean.ts'
import { exactMean } from '../../src/core/basics/exact-mean.ts'
import { localTime } from '../../src/core/basics/local-day.ts'
import { microPascals } from '../../src/core/basics/pressure.ts'
import type {
  CheckedSession,
  LeftOutReason,
  PeriodAverage,
  PlacedReading,
} from '../../src/core/clinical/averaging/period-average.ts'
import type { Protocol } from '../../src/core/clinical/protocol/protocol.ts'
import { timeOf } from '../../src/core/clinical/session.ts'
import { shippedProtocol } from './shipped-profiles.ts'

export interface HandBuiltParts {
  readonly protocol?: Protocol
  readonly zone?: string
  /** Absent: the days of the first and the last reading. */
  readonly firstDay?: string
  readonly lastDay?: string
  /** Why a reading is left out; undefined for one that is averaged. */
  readonly leavesOut?: (placed: PlacedReading) => LeftOutReason | undefined
}

/**
 * A period average put together without the rules of averaging: each reading is averaged unless the test says why not.
 * Morning ends at noon. The days without readings and the means are those of what is given; the rest is left plain.
 */
export function handBuiltAverage(
  sittings: readonly CheckedSession[],
  { protocol, zone = 'UTC', firstDay, lastDay, leavesOut = () => undefined }: HandBuiltParts = {},
): PeriodAverage {
  const placed = sittings.flatMap((sitting) => placedReadings(sitting, zone))
  const used = placed.filter((one) => leavesOut(one) === undefined)
  const days = [...new Set(placed.map(({ day }) => day))].sort()
  const [from, to] = [firstDay ?? days[0] ?? '2026-03-02', lastDay ?? days.at(-1) ?? '2026-03-02']
  const mean = meanOf(used)
  const [first] = used
  return {
    plan: { protocol: protocol ?? shippedProtocol('nice-ng136-home'), zone, firstDay: from, lastDay: to },
    ...(mean === undefined ? {} : { mean }),
    byWindow: ['morning', 'evening'].flatMap((window) => {
      const inWindow = meanOf(used.filter((one) => one.window === window))
      return inWindow === undefined ? [] : [{ window, mean: inWindow }]
    }),
    used,
    leftOut: placed.flatMap((one) => {
      const reason = leavesOut(one)
      return reason === undefined ? [] : [{ placed: one, reason, text: `left out: ${reason}` }]
    }),
    received: placed.length,
    ...(first === undefined ? {} : { arm: first.session.arm, site: first.session.site }),
    sufficiency: {
      daysUsed: 0,
      daysMeasured: days.length,
      leastDays: 1,
      enoughDays: true,
      readingsUsed: used.length,
      enoughReadings: true,
    },
    adherence: {
      sittingsAsked: 0,
      sittingsHeld: 0,
      sittingsShort: 0,
      daysWithout: daysFromTo(from, to).filter((day) => !days.includes(day)),
    },
    labels: [],
    sensitivity: { labels: [], flaggedReadings: 0 },
  }
}

function placedReadings({ session, withdrawn, receivedMs }: CheckedSession, zone: string): PlacedReading[] {
  return session.readings.map((reading) => {
    const { day, minuteOfDay } = localTime(timeOf(reading, session).epochMs, zone)
    return {
      session,
      reading,
      day,
      window: minuteOfDay < 720 ? 'morning' : 'evening',
      flagged: [],
      excludedFor: [],
      withdrawn: withdrawn === true,
      ...(receivedMs === undefined ? {} : { receivedMs }),
    }
  })
}

function meanOf(readings: readonly PlacedReading[]): PeriodAverage['mean'] {
  const systolic = pressureMean(readings, 'systolic')
  const diastolic = pressureMean(readings, 'diastolic')
  if (systolic === undefined || diastolic === undefined) return undefined
  return { systolic, diastolic, readings: readings.length, diastolicReadings: readings.length }
}

function pressureMean(
  readings: readonly PlacedReading[],
  pressure: 'systolic' | 'diastolic',
): ExactMean | undefined {
  return exactMean(
    readings.flatMap(({ reading }) => {
      const value = reading[pressure]
      return value === null ? [] : [microPascals(value)]
    }),
  )
}

function daysFromTo(from: string, to: string): string[] {
  const days: string[] = []
  for (let ms = Date.parse(from); ms <= Date.parse(to); ms += 86_400_000)
    days.push(new Date(ms).toISOString().slice(0, 10))
  return days
}
