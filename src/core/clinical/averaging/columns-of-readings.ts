import { microPascals, type Pressure } from '../../basics/pressure.ts'
import { type Session, type Setting, timeOf } from '../session.ts'
import { positionMarks } from './body-position.ts'
import { limbMarks } from './limb-groups.ts'
import type { PlacedReading } from './period-average.ts'
import { bySitting } from './place-readings.ts'
import { MARK, type ReadingColumns } from './reading-columns.ts'
import { rowOrigins } from './row-origins.ts'

/** Placed readings as columns, row by row in the same order, which must be that of `placeReadings`. */
export function columnsOfReadings(placed: readonly ColumnReading[]): ReadingColumns {
  const numbers = sittingNumbers(placed)
  const origins = rowOrigins(placed)
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
    ...(origins === undefined ? {} : { origins }),
  }
}

/** What of a placed reading is written into columns. */
export type ColumnReading = Omit<PlacedReading, 'day' | 'window' | 'flagged'>

/** In order of the sitting's own time, ties by id, then by source. */
function sittingNumbers(placed: readonly ColumnReading[]): ReadonlyMap<Session, number> {
  const sittings = [...new Map(placed.map((one) => [one.session, one])).values()]
  sittings.sort((a, b) => a.session.takenAt.epochMs - b.session.takenAt.epochMs || bySitting(a, b))
  return new Map(sittings.map(({ session }, number) => [session, number]))
}

function microPascalsOf(pressure: Pressure | null): number {
  return pressure === null ? Number.NaN : microPascals(pressure)
}

function marksOf({ session, reading, withdrawn, excludedFor }: ColumnReading): number {
  return (
    SETTING[session.setting] |
    limbMarks(session) |
    positionMarks(session.position) |
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
