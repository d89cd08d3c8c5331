import type { ErrorCode } from '../basics/error-codes.ts'
import type { IssueSeverity } from '../basics/issue.ts'
import type { AverageDifference } from '../recompute/recomputed-average.ts'

/** Names the shape of the report. Fields may be added under it; none is taken away or given another meaning. */
export const AUDIT_REPORT_FORMAT = 'home-bp-gateway audit report 1'

/**
 * What an auditor is told about a folder, a bundle or a feed: which resources were judged, what every rule said of
 * them, and whether each average follows from its readings. Holds no ids, names or free text of any resource; the only
 * measured figures are those of averages that differ from what their readings give.
 */
export interface AuditReport {
  readonly format: typeof AUDIT_REPORT_FORMAT
  /** What of people's data the report holds, in sentences. */
  readonly notice: string
  readonly cautions: readonly string[]
  readonly made: ReportMaking
  readonly read: ReadAccount
  /** Of what was handed over: a bundle counts once, with the worst verdict of all that is in it. */
  readonly verdicts: VerdictCounts
  /** Of each resource by itself, those in bundles included; most frequent type first. */
  readonly types: readonly TypeVerdicts[]
  /** What blocks first, then the most frequent. */
  readonly rules: readonly RuleVerdict[]
  readonly averages: AverageVerdicts
  readonly profiles: ProfilesAskedFor
  /** What could not be judged, each as a clause with how often it came up. */
  readonly notEnforced: readonly Unjudged[]
  readonly sources: SourcesCited
}

export interface ReportMaking {
  readonly by: 'home-bp-gateway'
  readonly version: string
  /** RFC 3339, as it was handed in. */
  readonly at: string
}

export interface ReadAccount {
  /** Files, folders or `-` as they were named. */
  readonly paths: readonly string[]
  readonly files: number
  /** Files of the folders that were not read, because their names do not end in `.json` or `.ndjson`. */
  readonly skipped: number
  /** Files that were read and hold no resource, and named folders without a file to read. */
  readonly empty: readonly string[]
  /** Resources as they were handed over: a whole file, a line, an item of an array. */
  readonly handedOver: number
  /** How many of these are no readable JSON. Each counts as invalid. */
  readonly unreadable: number
  /** How many had more issues than are listed for one: counts by rule are lower bounds, and remarks may be missing. */
  readonly cutShort: number
}

/** Invalid where an issue blocks, valid with remarks where there are issues and none blocks. */
export type Verdict = 'valid' | 'validWithRemarks' | 'invalid'
export type VerdictCounts = Readonly<Record<Verdict, number>>

export interface TypeVerdicts extends VerdictCounts {
  /** A FHIR resource type; `other` for what is none of R4. */
  readonly type: string
  readonly resources: number
  /** Of which no verdict is known, because their bundle had more errors than are listed for one. */
  readonly notTold: number
}

export interface RuleVerdict {
  /** The key it is published under; absent where our code says all. */
  readonly rule?: string
  readonly code: ErrorCode
  /** What the code means, as a sentence. */
  readonly meaning: string
  readonly severity: IssueSeverity
  readonly times: number
  readonly inResources: number
  /** What was expected, most frequent first; the first fifty. */
  readonly expectations: readonly Expectation[]
}

export interface Expectation {
  readonly expected: string
  readonly remedy: string
  readonly times: number
  /** The first five. */
  readonly places: readonly IssuePlace[]
}

/** Where an issue stands. */
export interface IssuePlace {
  readonly file: string
  /** 1-based line of NDJSON. */
  readonly line?: number
  /** 1-based position in a JSON array. */
  readonly item?: number
  /** FHIRPath from the resource that was handed over; empty for the whole. */
  readonly at: string
}

export interface AverageVerdicts {
  readonly agree: number
  readonly differ: number
  readonly notRecomputable: number
  /** Of those, averages that were entered in error: there is nothing to work out. */
  readonly takenBack: number
  /** The first five hundred. */
  readonly differing: readonly DifferingAverage[]
  /** By the protocol they were worked out by, most frequent first. */
  readonly agreeing: readonly AgreeingAverages[]
  /** By reason, most frequent first; the first fifty reasons. */
  readonly reasons: readonly NotRecomputable[]
  /** What had to be taken for granted, most frequent first; the first fifty. */
  readonly assumed: readonly Assumption[]
}

export interface DifferingAverage {
  readonly place: IssuePlace
  /** Absent where the average states none that is known. */
  readonly protocol?: string
  /** Readings found for it. */
  readonly readings: number
  readonly differences: readonly AverageDifference[]
}

export interface AgreeingAverages {
  readonly protocol?: string
  readonly times: number
  /** Readings they rest on, together. */
  readonly readings: number
  readonly places: readonly IssuePlace[]
}

export interface NotRecomputable {
  readonly reason: string
  readonly times: number
  readonly places: readonly IssuePlace[]
}

export interface ProfilesAskedFor {
  /** Canonical URLs every resource was held to, whatever it claims. */
  readonly asked: readonly string[]
  /** How many profiles were known beside the rules of R4. */
  readonly known: number
}

/** Something a bundle does not say, without which its averages could not have been worked out. */
export interface Assumption {
  readonly assumed: string
  readonly averages: number
}

export interface Unjudged {
  readonly rule?: string
  readonly code: ErrorCode
  readonly what: string
  /** What was judged all the same, or what would let it be judged. */
  readonly remedy: string
  readonly times: number
}

export interface SourcesCited {
  readonly standards: readonly StandardCited[]
  /** Citations of the protocols and threshold sets averages were worked out by, as these documents give them. */
  readonly averages: readonly string[]
}

export interface StandardCited {
  readonly title: string
  /** What it was the measure of, as a clause. */
  readonly usedFor: string
  readonly url: string
}
