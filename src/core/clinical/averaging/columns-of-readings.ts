import { microPascals, type Pressure } from '../../basics/pressure.ts'
import { type Session, type Setting, timeOf } from '../session.ts'
import { limbMarks } from './limb-groups.ts'
import type { PlacedReading } from './period-average.ts'
import { MARK, type ReadingColumns } from './reading-columns.ts'

/** Placed readings as columns, row by row in the same order, which must be that of `placeReadings`. */
export function columnsOfReadings(placed: readonly PlacedReading[]): ReadingColumns {
  const numbers = sittingNumbers(placed)
  const pressures = (part: 'systolic' | 'diastolic') =>
    Float64Array.from(placed, ({ reading }) => microPascalsOf(reading[part]))
  return {
    rows: placed.length,
    takenMs: Float64Array.from(placed, ({ reading, session }) => timeOf(reading, session).epochMs),
    sitting: Int32Array.from(placed, ({ session }) => numbers.get(session) ?? 0),
    ordinal: Int32Array.from(placed, ({ reading }) => reading.ordinal),
    systolic: pressures('systolic'),
    diastolic: pressures('diastolic'),
    pulse: Float64Array.from(placed, ({ reading }) => reading.pulse ?? Number.NaN),
    marks: Int32Array.from(placed, marksOf),
  }
}

/** In order of the sitting's own time, ties by id. */
function sittingNumbers(placed: readonly PlacedReading[]): ReadonlyMap<Session, number> {
  const sessions = [...new Set(placed.map(({ session }) => session))]
  sessions.sort((a, b) => a.takenAt.epochMs - b.takenAt.epochMs || (a.id < b.id ? -1 : 1))
  return new Map(sessions.map((session, number) => [session, number]))
}

function microPascalsOf(pressure: Pressure | null): number {
  return pressure === null ? Number.NaN : microPascals(pressure)
}

function marksOf({ session, reading, withdrawn, excludedFor }: PlacedReading): number {
  return (
    SETTING[session.setting] |
    limbMarks(session) |
    (withdrawn ? MARK.withdrawn : 0) |
    (reading.takenAt === undefined ? MARK.sittingTime : 0) |
    (excludedFor.length > 0 ? MARK.excludedByPolicy : 0)
  )
}

const SETTING: Readonly<Record<Setting, number>> = {
  home: 0,
  clinic: MARK.clinic,
  'public-kiosk': MARK.publicKiosk,
  ambulatory: MARK.ambulatory,
}
