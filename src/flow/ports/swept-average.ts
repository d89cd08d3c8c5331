import type { ExactMean } from '../../core/basics/exact-mean.ts'
import type { LocalDay } from '../../core/basics/local-day.ts'
import type { Protocol } from '../../core/clinical/protocol/protocol.ts'

/** The average of one enrolment as a sweep over everyone gives it: exact, and without words. */
export interface SweptAverage {
  readonly source: string
  readonly subject: string
  /** Whether other enrolments are of the same person. What came through them is not in the average. */
  readonly linked: boolean
  readonly received: number
  readonly used: number
  readonly days: number
  /** Absent when no reading counts. */
  readonly mean?: SweptMean
  readonly byWindow: readonly (SweptMean & { readonly window: string })[]
}

/** Exact: divided and rounded only when written. */
export interface SweptMean {
  /** Micropascals over count. */
  readonly systolic: ExactMean
  readonly diastolic: ExactMean
  readonly readings: number
}

export interface SweepRequest {
  readonly protocol: Protocol
  readonly firstDay: LocalDay
  readonly lastDay: LocalDay
  /** Only this source's people; everyone's when absent. */
  readonly source?: string
}
