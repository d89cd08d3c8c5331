import type { MeanPressure } from '../averaging/period-average.ts'
import type { CitationId } from '../citations.ts'
import type { Arm, Site } from '../session.ts'

/** What stands beside the home mean: context, not a diagnosis. */
export interface ClinicComparison {
  /** The rows of published correspondence tables that the home mean reaches, one for each table; never interpolated. */
  readonly correspondence: readonly CorrespondenceRow[]
  /** Mean of the clinic readings of the period that `selectClinicReadings` takes; absent when there are none. */
  readonly clinicMean?: MeanPressure
  /** The limb of the clinic mean; absent without one, or where its readings do not state it. */
  readonly arm?: Arm
  readonly site?: Site
  /** One for each system, when there is a clinic mean and a home mean. */
  readonly patterns: readonly ClinicPattern[]
}

/** One row of a correspondence table; every figure in mmHg, systolic then diastolic. */
export interface CorrespondenceRow {
  readonly citation: CitationId
  readonly office: readonly [systolic: number, diastolic: number]
  readonly home: readonly [systolic: number, diastolic: number]
  readonly day: readonly [systolic: number, diastolic: number]
  readonly night: readonly [systolic: number, diastolic: number]
  readonly twentyFourHours: readonly [systolic: number, diastolic: number]
}

/** How clinic and home lie to each other by one system. The same averages can be named otherwise by another. */
export interface ClinicPattern {
  readonly system: string
  readonly citation: CitationId
  readonly clinicHigh: boolean
  readonly homeHigh: boolean
  /** The system's own name for it, for people with and without treatment. */
  readonly name: string
}
