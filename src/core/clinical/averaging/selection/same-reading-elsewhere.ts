import { mayBeOneLimb } from '../limb-groups.ts'
import { MARK, type ReadingColumns, type RowOrigins } from '../reading-columns.ts'
import { CODE, COUNTS } from './reasons.ts'
import type { RowSelection } from './row-selection.ts'

/**
 * How far apart two sources may put one reading. A local choice: the clocks of a monitor and of a phone differ by
 * seconds, an app may write down when a reading reached it, and two readings of one sitting are a minute or more apart.
 */
export const SAME_MOMENT_MS = 60_000

/**
 * Leaves out a reading that came through another source too, such as an app and a monitor that sends by itself; which
 * of the two stands is told by their precedence.
 */
export function sameReadingElsewhere(selection: RowSelection): void {
  const { columns, reasons } = selection
  const sameAs = sentElsewhere(columns, (row) => reasons[row] === COUNTS)
  for (const row of sameAs.keys()) reasons[row] = CODE['same-reading-again']
  selection.sameAs = sameAs
}

/**
 * The rows that are the same reading as a row of another source, each with the row that stands in its place.
 *
 * Two rows are one reading when they are of two sources, at most `SAME_MOMENT_MS` apart, with the same systolic and
 * diastolic to the micropascal, and nothing that both state differs: pulse, arm, site, setting, the monitor's serial.
 * Every kept time is one moment, whichever offset or zone it was written with, so moments are compared. A reading
 * without a time of its own goes by that of its sitting.
 *
 * A row stands for one of each other source at most: two readings a minute apart with the same numbers are two.
 *
 * @param isCandidate says which rows are looked at.
 */
export function sentElsewhere(
  columns: ReadingColumns,
  isCandidate: (row: number) => boolean,
): ReadonlyMap<number, number> {
  const { origins, rows } = columns
  const sameAs = new Map<number, number>()
  if (origins === undefined) return sameAs
  const { precedence, source } = origins
  const inTurn = Array.from({ length: rows }, (_, row) => row)
    .filter(isCandidate)
    .sort((one, other) => (precedence[one] ?? 0) - (precedence[other] ?? 0) || one - other)
  const standing = new Set<number>()
  const stoodFor = new Set<string>()
  for (const row of inTurn) {
    const isFree = (other: number) => standing.has(other) && !stoodFor.has(`${other} ${source[row]}`)
    const stands = firstNear(columns, row, (other) => isFree(other) && isSame(columns, origins, row, other))
    if (stands === undefined) {
      standing.add(row)
    } else {
      sameAs.set(row, stands)
      stoodFor.add(`${stands} ${source[row]}`)
    }
  }
  return sameAs
}

/** The earliest such row near another one. In that order as many rows as can be find one that stands for them. */
function firstNear(
  { rows, takenMs }: ReadingColumns,
  row: number,
  isWanted: (other: number) => boolean,
): number | undefined {
  const ms = takenMs[row] ?? Number.NaN
  const isNear = (other: number) => Math.abs((takenMs[other] ?? Number.NaN) - ms) <= SAME_MOMENT_MS
  let first = row
  while (first > 0 && isNear(first - 1)) first -= 1
  for (let other = first; other < rows && isNear(other); other += 1) if (isWanted(other)) return other
  return undefined
}

function isSame(
  { systolic, diastolic, pulse, marks }: ReadingColumns,
  { source, serial }: RowOrigins,
  a: number,
  b: number,
): boolean {
  const mark = marks[a] ?? 0
  const other = marks[b] ?? 0
  return (
    source[a] !== source[b] &&
    systolic[a] === systolic[b] &&
    diastolic[a] === diastolic[b] &&
    agree(pulse[a] ?? Number.NaN, pulse[b] ?? Number.NaN, Number.NaN) &&
    agree(serial[a] ?? NO_SERIAL, serial[b] ?? NO_SERIAL, NO_SERIAL) &&
    mayBeOneLimb(mark, other) &&
    ((mark ^ other) & SETTING) === 0
  )
}

const NO_SERIAL = 0
const SETTING = MARK.clinic | MARK.publicKiosk | MARK.ambulatory

/** Equal, or not stated on one side. Object.is: NaN is NaN. */
function agree(one: number, other: number, notStated: number): boolean {
  return one === other || Object.is(one, notStated) || Object.is(other, notStated)
}
