import { roundedMmHg } from '../../basics/exact-mean.ts'
import type { LocalDay } from '../../basics/local-day.ts'
import { statedArm, statedSite } from '../averaging/limb-groups.ts'
import type {
  Adherence,
  InterArm,
  InterArmLimit,
  Label,
  PeriodAverage,
  Sufficiency,
} from '../averaging/period-average.ts'
import { CITATIONS, type CitationId, type Evidence } from '../citations.ts'
import type { Finding, FindingCode } from '../finding.ts'
import type { IntegrityCode, IntegritySignal } from '../integrity/integrity-signal.ts'
import type { ClinicPattern, CorrespondenceRow } from '../patterns/clinic-comparison.ts'
import type { Arm, Site } from '../session.ts'
import type { PeriodStatistics } from '../statistics/period-statistics.ts'
import { CAUTION } from './caution.ts'
import { type FindingCount, findingCounts } from './finding-counts.ts'
import { type LeftOutRule, type LeftOutSummary, leftOutRules, leftOutSummary } from './left-out-summary.ts'
import type { PeriodReport } from './period-report.ts'
import { pooledEnrolments } from './pooled-enrolments.ts'
import { type RoundedMean, roundedMean } from './rounded-mean.ts'
import { roundedProbability, roundedStatistics } from './rounded-statistics.ts'

/** A period report as plain JSON: what the interfaces return and what the narrative is written from. */
export interface PeriodSummary {
  readonly protocol: {
    readonly id: string
    readonly title: string
    readonly citation: { readonly text: string; readonly url?: string }
    readonly evidence: Evidence
    /** What the source leaves open and the protocol file settles. */
    readonly settledHere: readonly string[]
    /** `apart`: the mean of each window is labelled, and the mean of all is not. */
    readonly windowsAveraged: 'together' | 'apart'
  }
  readonly period: { readonly firstDay: LocalDay; readonly lastDay: LocalDay; readonly zone: string }
  /** Digits after the point of every mean below; each was rounded once, half away from zero. */
  readonly decimals: 0 | 1
  readonly arm?: Arm
  readonly site?: Site
  /** Absent when no reading counts. */
  readonly mean?: RoundedMean
  readonly byWindow: readonly (RoundedMean & {
    readonly window: string
    /** Only where the protocol labels each window by itself. */
    readonly labels: readonly Label[]
  })[]
  /** Parts of the day that the rule asks for and of which no reading counts, beside those that have a mean. */
  readonly windowsWithout: readonly string[]
  readonly readings: {
    readonly used: number
    readonly received: number
    /** Enrolments that those used came through; absent where it is one. */
    readonly enrolments?: number
  }
  readonly leftOut: readonly LeftOutSummary[]
  /** The rules those readings were left out by, each once. */
  readonly leftOutRules: readonly LeftOutRule[]
  readonly sufficiency: Sufficiency
  readonly adherence: Adherence
  /** By the unrounded mean, each naming its threshold set. */
  readonly labels: readonly Label[]
  /** The same average without its flagged readings. */
  readonly sensitivity: {
    readonly flaggedReadings: number
    /** For what they are flagged, the most frequent first; a reading may have several remarks. */
    readonly flaggedFor: readonly FindingCount[]
    readonly mean?: RoundedMean
    readonly labels: readonly Label[]
  }
  /** How many readings the clinic’s own policy left out, for each finding; a reading may have several. */
  readonly excludedByPolicy: readonly FindingCount[]
  /** Left less right arm; limits compared unrounded. */
  readonly interArm?: InterArmSummary
  /** One digit after the point; absent when no reading counts. */
  readonly statistics?: PeriodStatistics
  readonly integrity: readonly SignalSummary[]
  readonly clinic: {
    readonly correspondence: readonly (CorrespondenceRow & Sourced)[]
    /** Of the clinic readings of the period, each once and of one limb: that of the home mean where there are some. */
    readonly mean?: RoundedMean
    readonly arm?: Arm
    readonly site?: Site
    readonly patterns: readonly (ClinicPattern & Sourced)[]
  }
  readonly attention: readonly AttentionSummary[]
  readonly caution: string
}

/** Where something comes from, and how far its source was read. */
export interface Sourced {
  readonly citation: CitationId
  readonly source: string
  readonly evidence: Evidence
}

export interface InterArmSummary extends Omit<InterArm, 'systolic' | 'diastolic' | 'limits'> {
  readonly systolicMmHg: number
  readonly diastolicMmHg: number
  readonly limits: readonly (InterArmLimit & Sourced)[]
}

export interface SignalSummary extends Sourced {
  readonly code: IntegrityCode
  readonly count: number
  readonly of: number
  /** Two significant digits. */
  readonly probability?: number
  readonly text: string
}

export interface AttentionSummary extends Sourced {
  readonly code: FindingCode
  readonly text: string
}

/**
 * The report for people and interfaces, rounded here and nowhere before.
 *
 * @param decimals digits after the point of means; 0 for servers that hold whole numbers only. Statistics keep one.
 */
export function periodSummary(report: PeriodReport, decimals: 0 | 1): PeriodSummary {
  const { average, statistics, clinic } = report
  const { plan, mean, sensitivity, interArm } = average
  const { id, title, citation, evidence, settledHere, windowsAveraged } = plan.protocol
  return {
    protocol: { id, title, citation: citationOf(citation), evidence, settledHere, windowsAveraged },
    period: { firstDay: plan.firstDay, lastDay: plan.lastDay, zone: plan.zone },
    decimals,
    ...(average.arm === undefined ? {} : { arm: average.arm }),
    ...(average.site === undefined ? {} : { site: average.site }),
    ...(mean === undefined ? {} : { mean: roundedMean(mean, decimals) }),
    byWindow: average.byWindow.map((one) => ({
      window: one.window,
      ...roundedMean(one.mean, decimals),
      labels: average.labels.filter(({ window }) => window === one.window),
    })),
    windowsWithout: windowsWithout(average),
    readings: {
      used: average.used.length,
      received: average.received,
      ...pooledEnrolments(average.used),
    },
    leftOut: average.leftOut.map(leftOutSummary),
    leftOutRules: leftOutRules(average),
    sufficiency: average.sufficiency,
    adherence: average.adherence,
    labels: average.labels,
    sensitivity: {
      flaggedReadings: sensitivity.flaggedReadings,
      flaggedFor: findingCounts(average.used.map(({ flagged }) => flagged)),
      ...(sensitivity.mean === undefined ? {} : { mean: roundedMean(sensitivity.mean, decimals) }),
      labels: sensitivity.labels,
    },
    excludedByPolicy: excludedByPolicy(average),
    ...(interArm === undefined ? {} : { interArm: interArmSummary(interArm, decimals) }),
    ...(statistics === undefined ? {} : { statistics: roundedStatistics(statistics) }),
    integrity: report.integrity.map(signalSummary),
    clinic: {
      correspondence: clinic.correspondence.map(withSource),
      ...(clinic.clinicMean === undefined ? {} : { mean: roundedMean(clinic.clinicMean, decimals) }),
      ...statedArm(clinic.arm),
      ...statedSite(clinic.site),
      patterns: clinic.patterns.map(withSource),
    },
    attention: report.attention.map(attentionSummary),
    caution: CAUTION,
  }
}

function interArmSummary(
  { systolic, diastolic, limits, ...rest }: InterArm,
  decimals: 0 | 1,
): InterArmSummary {
  return {
    ...rest,
    systolicMmHg: roundedMmHg(systolic, decimals),
    diastolicMmHg: roundedMmHg(diastolic, decimals),
    limits: limits.map(withSource),
  }
}

function windowsWithout({ mean, byWindow, plan }: PeriodAverage): readonly string[] {
  if (mean === undefined || byWindow.length === 0) return []
  const present = new Set(byWindow.map(({ window }) => window))
  return plan.protocol.sittings.map(({ name }) => name).filter((name) => !present.has(name))
}

function excludedByPolicy({ leftOut }: PeriodAverage): readonly FindingCount[] {
  const excluded = leftOut.filter(({ reason }) => reason === 'excluded-by-policy')
  return findingCounts(excluded.map(({ placed }) => placed.excludedFor))
}

function signalSummary({ probability, ...signal }: IntegritySignal): SignalSummary {
  return {
    ...withSource(signal),
    ...(probability === undefined ? {} : { probability: roundedProbability(probability) }),
  }
}

/** A call for attention with where its limit comes from. */
export function attentionSummary({ code, text, citation }: Finding): AttentionSummary {
  return withSource({ code, text, citation })
}

function withSource<T extends { readonly citation: CitationId }>(one: T): T & Sourced {
  const { text, evidence } = CITATIONS[one.citation]
  return { ...one, source: text, evidence }
}

function citationOf({ text, url }: { text: string; url?: string | undefined }): {
  text: string
  url?: string
} {
  return url === undefined ? { text } : { text, url }
}
