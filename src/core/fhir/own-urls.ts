import { DEFAULT_CANONICAL_BASE } from './canonical-base.ts'

/** Identifier systems of ours, as path segments under the canonical base. Their values are always UUIDs. */
const IDENTIFIER_KINDS = {
  reading: 'reading',
  pulse: 'pulse',
  monitorStatus: 'monitor-status',
  average: 'average',
  /** The means of a 24-hour recording. */
  recording: 'recording',
  session: 'session',
  period: 'period',
  device: 'device',
  /** Tag system: a Provenance has no identifier in R4. */
  provenance: 'provenance',
  gateway: 'gateway',
  /** A call for attention about a session. */
  attention: 'attention',
} as const

/** Extensions of ours; each has its StructureDefinition in `profiles/structure-definitions/`. */
export const OWN_EXTENSIONS = {
  measuredQuantity: 'measured-quantity',
  measurementSetting: 'measurement-setting',
  recordSha256: 'record-sha256',
  measurementPeriod: 'measurement-period',
  readingsReceived: 'readings-received',
  exclusion: 'exclusion',
  sufficiency: 'sufficiency',
  averageLabel: 'average-label',
  meanPulse: 'mean-pulse',
  windowMean: 'window-mean',
  sensitivity: 'sensitivity',
  interArmDifference: 'inter-arm-difference',
  averageStatistics: 'average-statistics',
  adherence: 'adherence',
} as const

/** Profiles of ours: what each kind of resource holds as it is sent. Defined beside the extensions. */
export const OWN_PROFILES = {
  homeReading: 'home-reading',
  homePulse: 'home-pulse',
  monitorStatus: 'monitor-status',
  homeMonitor: 'home-monitor',
  periodAverage: 'period-average',
  recordingAverage: 'recording-average',
  attention: 'attention',
  submissionProvenance: 'submission-provenance',
  averageProvenance: 'average-provenance',
} as const

/** Value sets of ours, in `profiles/value-sets/`. */
export const OWN_VALUE_SETS = {
  leftOutReasons: 'left-out-reasons',
  findings: 'findings',
  techniqueFindings: 'technique-findings',
  plausibilityFindings: 'plausibility-findings',
  attentionCalls: 'attention-calls',
  settings: 'measurement-settings',
  arms: 'arms',
  higherArm: 'higher-arm',
  interArmBasis: 'inter-arm-basis',
  recordingMeans: 'recording-means',
  recordingComponents: 'recording-mean-components',
} as const

/** The full URLs of ours under one canonical base. */
export interface OwnUrls {
  readonly identifier: Readonly<Record<keyof typeof IDENTIFIER_KINDS, string>>
  readonly extension: Readonly<Record<keyof typeof OWN_EXTENSIONS, string>>
  readonly profile: Readonly<Record<keyof typeof OWN_PROFILES, string>>
  readonly valueSet: Readonly<Record<keyof typeof OWN_VALUE_SETS, string>>
  /** Code system of ours, in `profiles/code-systems/`: for what no published one has a code. */
  readonly codeSystem: string
  /** Code system of our findings about how a reading was taken and whether it can be true. */
  readonly findingSystem: string
  /** Code system of the error codes, of which an OperationOutcome names one with each issue. */
  readonly errorSystem: string
}

/** Our URLs under a base without a trailing slash. The answer for a base is made once and shared. */
export function ownUrls(canonicalBase: string): OwnUrls {
  if (canonicalBase === lastBase) return lastUrls
  lastUrls = urlsUnder(canonicalBase)
  lastBase = canonicalBase
  return lastUrls
}

function urlsUnder(base: string): OwnUrls {
  return {
    identifier: under(base, IDENTIFIER_KINDS),
    extension: under(`${base}/StructureDefinition`, OWN_EXTENSIONS),
    profile: under(`${base}/StructureDefinition`, OWN_PROFILES),
    valueSet: under(`${base}/ValueSet`, OWN_VALUE_SETS),
    codeSystem: `${base}/CodeSystem/home-bp-gateway`,
    findingSystem: `${base}/CodeSystem/home-bp-findings`,
    errorSystem: `${base}/CodeSystem/error-codes`,
  }
}

function under<K extends string>(
  base: string,
  names: Readonly<Record<K, string>>,
): Readonly<Record<K, string>> {
  const urls: Record<K, string> = { ...names }
  for (const key in names) urls[key] = `${base}/${names[key]}`
  return Object.freeze(urls)
}

// A gateway has one base, so remembering the last is remembering all.
let lastBase = DEFAULT_CANONICAL_BASE
let lastUrls = urlsUnder(lastBase)
