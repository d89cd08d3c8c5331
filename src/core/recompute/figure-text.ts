import { type ExactMean, rounded } from '../basics/exact-mean.ts'
import { MICROPASCALS_PER_KPA, MICROPASCALS_PER_MMHG, type Pressure } from '../basics/pressure.ts'
import type { TimedReading } from './readings/bundle-readings.ts'

/** Digits after the point that a mean is compared to. */
export const MOST_DECIMALS = 6

/** Digits after the point of a number as JSON gives it, six at most: 134.0 arrives as 134. */
export function decimalsOf(value: number): number {
  const text = String(value)
  if (text.includes('e')) return MOST_DECIMALS
  const point = text.indexOf('.')
  return point < 0 ? 0 : Math.min(text.length - point - 1, MOST_DECIMALS)
}

/** A mean in micropascals as a mean in a unit. */
export function inUnit(mean: ExactMean, unit: Pressure['unit']): ExactMean {
  const size = unit === 'mmHg' ? MICROPASCALS_PER_MMHG : MICROPASCALS_PER_KPA
  return { total: mean.total, count: mean.count * BigInt(size) }
}

/** A mean as it should have been written, and what it was before rounding: `87 mmHg (86.75 before rounding)`. */
export function meanText(mean: ExactMean, decimals: number, unit: string): string {
  const written = rounded(mean, decimals)
  const exact = rounded(mean, 4)
  return exact === written ? `${written} ${unit}` : `${written} ${unit} (${exact} before rounding)`
}

/** One reading in words: `the reading of 2026-03-04T06:30:00-07:00, 142/84 mmHg`. */
export function readingText({ takenAt, systolic, diastolic }: TimedReading): string {
  return `the reading of ${takenAt.text}, ${numberText(systolic)}/${numberText(diastolic)} ${systolic?.unit ?? diastolic?.unit ?? 'mmHg'}`
}

export function countText(count: number, noun: string): string {
  return `${count} ${noun}${count === 1 ? '' : 's'}`
}

function numberText(pressure: Pressure | null): string {
  return pressure === null ? 'none' : String(pressure.value)
}
