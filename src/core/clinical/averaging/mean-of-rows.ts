import type { ExactMean } from '../../basics/exact-mean.ts'
import type { Protocol } from '../protocol/protocol.ts'
import { COUNTS } from './selection/reasons.ts'
import type { RowSelection } from './selection/row-selection.ts'

/** Exact: micropascals over count. */
export interface ColumnMean {
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  readonly readings: number
}

/** Sums by sitting, kept from one person to the next. */
export interface SittingSums {
  systolic: Float64Array
  diastolic: Float64Array
  readings: Int32Array
  diastolicReadings: Int32Array
}

export function roomForSittings(sittings: number): SittingSums {
  return {
    systolic: new Float64Array(sittings),
    diastolic: new Float64Array(sittings),
    readings: new Int32Array(sittings),
    diastolicReadings: new Int32Array(sittings),
  }
}

/**
 * The mean of the rows that count, of one window or of all, as `meanPressure` works it out of readings.
 *
 * Sums are whole micropascals in doubles, exact up to 2^53: 200,000 readings of 300 mmHg.
 *
 * @throws RangeError beyond that, rather than round.
 */
export function meanOfRows(
  selection: RowSelection,
  window: number | 'all',
  sums: SittingSums,
): ColumnMean | undefined {
  const { pooling, leaveOut } = selection.rules.protocol
  sumBySitting(selection, window, sums, leaveOut.zeroDiastolic === 'leave-out-beside-others')
  const { sittings } = selection
  const systolic = pool(sums.systolic, sums.readings, sittings, pooling)
  const diastolic = pool(sums.diastolic, sums.diastolicReadings, sittings, pooling)
  if (systolic === undefined || diastolic === undefined) return undefined
  let readings = 0
  for (let number = 0; number < sittings; number += 1) readings += sums.readings[number] ?? 0
  return { systolic, diastolic, readings }
}

function sumBySitting(
  { columns, reasons, windows, sittings }: RowSelection,
  window: number | 'all',
  sums: SittingSums,
  zeroGoes: boolean,
): void {
  const { rows, sitting, systolic, diastolic } = columns
  const { readings, diastolicReadings } = sums
  sums.systolic.fill(0, 0, sittings)
  sums.diastolic.fill(0, 0, sittings)
  readings.fill(0, 0, sittings)
  diastolicReadings.fill(0, 0, sittings)
  for (let row = 0; row < rows; row += 1) {
    if (reasons[row] !== COUNTS || (window !== 'all' && windows[row] !== window)) continue
    const number = sitting[row] ?? 0
    const low = diastolic[row] ?? 0
    sums.systolic[number] = (sums.systolic[number] ?? 0) + (systolic[row] ?? 0)
    sums.diastolic[number] = (sums.diastolic[number] ?? 0) + low
    readings[number] = (readings[number] ?? 0) + 1
    if (!zeroGoes || low !== 0) diastolicReadings[number] = (diastolicReadings[number] ?? 0) + 1
  }
  if (!zeroGoes) return
  for (let number = 0; number < sittings; number += 1) {
    // Nothing but zeros: the mean of them is zero.
    if (diastolicReadings[number] === 0) diastolicReadings[number] = readings[number] ?? 0
  }
}

function pool(
  sums: Float64Array,
  counts: Int32Array,
  sittings: number,
  pooling: Protocol['pooling'],
): ExactMean | undefined {
  return pooling === 'all-readings'
    ? poolReadings(sums, counts, sittings)
    : poolSittings(sums, counts, sittings)
}

function poolReadings(sums: Float64Array, counts: Int32Array, sittings: number): ExactMean | undefined {
  let total = 0
  let count = 0
  for (let number = 0; number < sittings; number += 1) {
    total += sums[number] ?? 0
    count += counts[number] ?? 0
  }
  return count === 0 ? undefined : { total: exactly(total), count: BigInt(count) }
}

/** Sittings of as many readings have the same denominator, so they are added before they are divided. */
function poolSittings(sums: Float64Array, counts: Int32Array, sittings: number): ExactMean | undefined {
  const bySize: number[] = []
  let held = 0
  for (let number = 0; number < sittings; number += 1) {
    const size = counts[number] ?? 0
    if (size === 0) continue
    held += 1
    while (bySize.length <= size) bySize.push(0)
    bySize[size] = (bySize[size] ?? 0) + (sums[number] ?? 0)
  }
  if (held === 0) return undefined
  let total = 0n
  let denominator = 1n
  for (const [size, sum] of bySize.entries()) {
    if (sum === 0) continue
    total = total * BigInt(size) + exactly(sum) * denominator
    denominator *= BigInt(size)
  }
  return { total, count: denominator * BigInt(held) }
}

function exactly(sum: number): bigint {
  if (!Number.isSafeInteger(sum)) throw new RangeError('more readings than can be added exactly')
  return BigInt(sum)
}
