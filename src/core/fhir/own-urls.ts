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

/** The full URLs of ours under one canonical base. */
export interface OwnUrls {
  readonly identifier: Readonly<Record<keyof typeof IDENTIFIER_KINDS, string>>
  readonly extension: Readonly<Record<keyof typeof OWN_EXTENSIONS, string>>
  /** Code system of ours, in `profiles/code-systems/`: for what no published one has a code. */
  readonly codeSystem: string
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
    codeSystem: `${base}/CodeSystem/home-bp-gateway`,
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
