import type { ReadingColumns } from '../../../core/clinical/averaging/reading-columns.ts'

export function roomForRows(rows: number): ReadingColumns {
  return {
    rows: 0,
    takenMs: new Float64Array(rows),
    sitting: new Int32Array(rows),
    ordinal: new Int32Array(rows),
    systolic: new Float64Array(rows),
    diastolic: new Float64Array(rows),
    pulse: new Float64Array(rows),
    marks: new Int32Array(rows),
  }
}

/** The columns themselves where they hold as many rows, or larger ones with the same rows. */
export function withRoomFor(columns: ReadingColumns, rows: number): ReadingColumns {
  if (rows <= columns.takenMs.length) return columns
  const larger = roomForRows(2 * rows)
  larger.rows = columns.rows
  larger.takenMs.set(columns.takenMs)
  larger.sitting.set(columns.sitting)
  larger.ordinal.set(columns.ordinal)
  larger.systolic.set(columns.systolic)
  larger.diastolic.set(columns.diastolic)
  larger.pulse.set(columns.pulse)
  larger.marks.set(columns.marks)
  return larger
}

/** The same rows in order of time, then of their sitting's id, then of their place in it. */
export function inOrderOf(columns: ReadingColumns, idOfSitting: readonly string[]): ReadingColumns {
  const { takenMs, sitting, ordinal } = columns
  const idOf = (row: number) => idOfSitting[sitting[row] ?? 0] ?? ''
  const byId = (one: number, other: number) =>
    idOf(one) === idOf(other) ? 0 : idOf(one) < idOf(other) ? -1 : 1
  const order = Array.from({ length: columns.rows }, (_, row) => row).sort(
    (one, other) =>
      (takenMs[one] ?? 0) - (takenMs[other] ?? 0) ||
      byId(one, other) ||
      (ordinal[one] ?? 0) - (ordinal[other] ?? 0),
  )
  const floats = (from: Float64Array) => Float64Array.from(order, (row) => from[row] ?? Number.NaN)
  const whole = (from: Int32Array) => Int32Array.from(order, (row) => from[row] ?? 0)
  return {
    rows: columns.rows,
    takenMs: floats(takenMs),
    sitting: whole(sitting),
    ordinal: whole(ordinal),
    systolic: floats(columns.systolic),
    diastolic: floats(columns.diastolic),
    pulse: floats(columns.pulse),
    marks: whole(columns.marks),
  }
}
