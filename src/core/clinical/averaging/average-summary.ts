import { type ExactMean, rounded, roundedMmHg } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import type { Evidence } from '../citations.ts'
import type { Arm, Site } from '../session.ts'
import { CAUTION } from './caution.ts'
import { meanArterialPressure } from './mean-arterial-pressure.ts'
import type {
  InterArm,
  Label,
  LeftOut,
  LeftOutReason,
  MeanPressure,
  PeriodAverage,
  Sufficiency,
} from './period-average.ts'

/** A period average as plain JSON: what the interfaces return and what the narrative is written from. */
export interface AverageSummary {
  readonly protocol: {
    readonly id: string
    readonly title: string
    readonly citation: { readonly text: string; readonly url?: string }
    readonly evidence: Evidence
    /** What the source leaves open and the protocol file settles. */
    readonly settledHere: readonly string[]
  }
  readonly period: { readonly firstDay: LocalDay; readonly lastDay: LocalDay; readonly zone: string }
  /** Digits after the point of every pressure and pulse below; each was rounded once, half away from zero. */
  readonly decimals: 0 | 1
  readonly arm?: Arm
  readonly site?: Site
  /** Absent when no reading counts. */
  readonly mean?: RoundedMean
  readonly byWindow: readonly (RoundedMean & { readonly window: string })[]
  readonly readings: { readonly used: number; readonly received: number }
  readonly leftOut: readonly LeftOutSummary[]
  readonly sufficiency: Sufficiency
  /** By the unrounded mean, each naming its threshold set. */
  readonly labels: readonly Label[]
  /** The same average without the readings that carry a technique finding. */
  readonly sensitivity: {
    readonly flaggedReadings: number
    readonly mean?: RoundedMean
    readonly labels: readonly Label[]
  }
  /** Left less right arm; limits compared unrounded. */
  readonly interArm?: Omit<InterArm, 'systolic' | 'diastolic'> & {
    readonly systolicMmHg: number
    readonly diastolicMmHg: number
  }
  readonly caution: string
}

export interface RoundedMean {
  readonly systolicMmHg: number
  readonly diastolicMmHg: number
  /** Computed from the unrounded means, not measured. */
  readonly meanArterialMmHg: number
  readonly pulsePerMinute?: number
  readonly readings: number
}

export interface LeftOutSummary {
  readonly session: string
  /** 1-based place in the sitting. */
  readonly reading: number
  readonly day: LocalDay
  readonly reason: LeftOutReason
  readonly text: string
}

/**
 * The average for people and interfaces, rounded here and nowhere before.
 *
 * @param decimals digits after the point; 0 for servers that hold whole numbers only.
 */
export function averageSummary(average: PeriodAverage, decimals: 0 | 1): AverageSummary {
  const { plan, mean, sensitivity, interArm } = average
  const { id, title, citation, evidence, settledHere } = plan.protocol
  return {
    protocol: { id, title, citation: citationOf(citation), evidence, settledHere },
    period: { firstDay: plan.firstDay, lastDay: plan.lastDay, zone: plan.zone },
    decimals,
    ...(average.arm === undefined ? {} : { arm: average.arm }),
    ...(average.site === undefined ? {} : { site: average.site }),
    ...(mean === undefined ? {} : { mean: roundedMean(mean, decimals) }),
    byWindow: average.byWindow.map((one) => ({ window: one.window, ...roundedMean(one.mean, decimals) })),
    readings: { used: average.used.length, received: average.received },
    leftOut: average.leftOut.map(leftOutSummary),
    sufficiency: average.sufficiency,
    labels: average.labels,
    sensitivity: {
      flaggedReadings: sensitivity.flaggedReadings,
      ...(sensitivity.mean === undefined ? {} : { mean: roundedMean(sensitivity.mean, decimals) }),
      labels: sensitivity.labels,
    },
    ...(interArm === undefined ? {} : { interArm: roundedInterArm(interArm, decimals) }),
    caution: CAUTION,
  }
}

function roundedMean(mean: MeanPressure, decimals: 0 | 1): RoundedMean {
  const pressure = (exact: ExactMean) => roundedMmHg(exact, decimals)
  return {
    systolicMmHg: pressure(mean.systolic),
    diastolicMmHg: pressure(mean.diastolic),
    meanArterialMmHg: pressure(meanArterialPressure(mean)),
    ...(mean.pulse === undefined ? {} : { pulsePerMinute: rounded(mean.pulse, decimals) }),
    readings: mean.readings,
  }
}

function roundedInterArm(
  { systolic, diastolic, ...rest }: InterArm,
  decimals: 0 | 1,
): NonNullable<AverageSummary['interArm']> {
  return {
    ...rest,
    systolicMmHg: roundedMmHg(systolic, decimals),
    diastolicMmHg: roundedMmHg(diastolic, decimals),
  }
}

function leftOutSummary({ placed, reason, text }: LeftOut): LeftOutSummary {
  return { session: placed.session.id, reading: placed.reading.ordinal, day: placed.day, reason, text }
}

function citationOf({ text, url }: { text: string; url?: string | undefined }): {
  text: string
  url?: string
} {
  return url === undefined ? { text } : { text, url }
}
