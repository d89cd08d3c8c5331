import type { CheckedSession } from '../../clinical/averaging/period-average.ts'
import type { Finding } from '../../clinical/finding.ts'
import type { FindingPolicy } from '../../clinical/finding-policy.ts'
import type { Arm, Reading, Session, Site } from '../../clinical/session.ts'
import type { BundleReadings, TimedReading } from './bundle-readings.ts'
import { instantOnOwnClock } from './own-clock.ts'

/** Readings of a bundle that does not say which belong together are one sitting up to this gap. Common practice. */
export const SITTING_GAP_MINUTES = 30

export interface RegroupedSittings {
  readonly sittings: readonly CheckedSession[]
  /** The reading of the bundle behind each reading of a sitting. */
  readonly stated: ReadonlyMap<Reading, TimedReading>
  /** Whether any were put together by their times alone. */
  readonly byTime: boolean
}

export interface SittingRank {
  readonly late: number
  readonly place: number
}

export interface RegroupingRules {
  /** Whether each reading goes by the clock of its own offset, because no zone is known. */
  readonly ownClocks: boolean
  /** What a reading that does not say is taken for; absent: for one whose arm or site is not stated. */
  readonly arm?: Arm
  readonly site?: Site
  readonly excluded: (reading: TimedReading) => boolean
  /** Where its sitting goes among others of the same moment: by `late`, then by the first `place` of its readings. */
  readonly rank: (reading: TimedReading) => SittingRank
}

/**
 * What `REGROUPED_POLICY` acts on. A bundle says in words what was noticed about a reading, not by code, so one code
 * stands for whatever made the clinic leave it out, and another for whatever was flagged.
 */
const LEFT_OUT_FOR = 'monitor-improper-position'
const FLAGGED_FOR = 'monitor-body-movement'
export const REGROUPED_POLICY: FindingPolicy = { [LEFT_OUT_FOR]: 'exclude', [FLAGGED_FOR]: 'flag' }

/**
 * Puts readings back into the sittings they came in; those on different limbs, in different settings or positions stay
 * apart.
 */
export function regroupSittings(
  readings: readonly TimedReading[],
  bundle: BundleReadings,
  rules: RegroupingRules,
): RegroupedSittings {
  const groups = new Map<string, TimedReading[]>()
  const loose: TimedReading[] = []
  for (const reading of readings) {
    const place = bundle.placeOf(reading)
    if (place === undefined) loose.push(reading)
    else enter(groups, `${place.sitting} ${kindOf(reading, rules)}`, reading)
  }
  byTime(loose, rules, groups)
  const stated = new Map<Reading, TimedReading>()
  const isOfSeveral = areOfSeveralSources(readings, bundle)
  const sittings = [...groups].map(([key, group]) => {
    const ordered = group
      .map((reading, at) => ({ reading, ordinal: bundle.placeOf(reading)?.ordinal ?? at + 1 }))
      .sort((a, b) => a.ordinal - b.ordinal)
    const sitting = sittingOf(key, ordered, rules, stated)
    return isOfSeveral ? withOrigin(sitting, group[0], bundle) : sitting
  })
  return { sittings, stated, byTime: loose.length > 0 }
}

/** Whether the bundle tells of every reading where it came from, and it is not all one source. */
function areOfSeveralSources(readings: readonly TimedReading[], bundle: BundleReadings): boolean {
  const sources = new Set(readings.map((reading) => bundle.placeOf(reading)?.source))
  return sources.size > 1 && !sources.has(undefined)
}

/** With what tells whether a reading of it came through another source too, and which of the two stands. */
function withOrigin(
  sitting: CheckedSession,
  reading: TimedReading | undefined,
  bundle: BundleReadings,
): CheckedSession {
  const { source, receivedMs } = (reading && bundle.placeOf(reading)) ?? {}
  const serial = reading && bundle.serialOf(reading)
  return {
    ...sitting,
    session: { ...sitting.session, ...(serial === undefined ? {} : { device: { serial } }) },
    ...(source === undefined ? {} : { source }),
    ...(receivedMs === undefined ? {} : { receivedMs }),
  }
}

function byTime(
  loose: readonly TimedReading[],
  rules: RegroupingRules,
  groups: Map<string, TimedReading[]>,
): void {
  const last = new Map<string, { readonly key: string; readonly epochMs: number }>()
  const inOrder = loose.toSorted((a, b) => a.takenAt.epochMs - b.takenAt.epochMs)
  for (const [place, reading] of inOrder.entries()) {
    const kind = kindOf(reading, rules)
    const { epochMs } = reading.takenAt
    const before = last.get(kind)
    const goesOn = before !== undefined && epochMs - before.epochMs <= SITTING_GAP_MINUTES * 60_000
    const key = goesOn ? before.key : `at ${String(place).padStart(9, '0')} ${kind}`
    enter(groups, key, reading)
    last.set(kind, { key, epochMs })
  }
}

function enter(groups: Map<string, TimedReading[]>, key: string, reading: TimedReading): void {
  const group = groups.get(key)
  if (group === undefined) groups.set(key, [reading])
  else group.push(reading)
}

function kindOf(
  { limb, setting, position, enteredInError }: TimedReading,
  { arm, site }: RegroupingRules,
): string {
  const place = [limb.arm ?? arm ?? '-', limb.site ?? site ?? '-', setting ?? 'home', position ?? '-']
  return [...place, enteredInError].join(' ')
}

function sittingOf(
  key: string,
  group: readonly { readonly reading: TimedReading; readonly ordinal: number }[],
  rules: RegroupingRules,
  stated: Map<Reading, TimedReading>,
): CheckedSession {
  const readings = group.map(({ reading: one, ordinal }) => {
    const reading: Reading = {
      ordinal,
      takenAt: rules.ownClocks ? instantOnOwnClock(one.takenAt) : one.takenAt,
      systolic: one.systolic,
      diastolic: one.diastolic,
      ...(one.pulse === undefined ? {} : { pulse: one.pulse }),
    }
    stated.set(reading, one)
    return reading
  })
  const findings = group.flatMap(({ reading, ordinal }): Finding[] => [
    ...(rules.excluded(reading) ? [finding(LEFT_OUT_FOR, ordinal)] : []),
    ...(reading.noticed ? [finding(FLAGGED_FOR, ordinal)] : []),
  ])
  const [first] = group
  const { limb, position } = first?.reading ?? {}
  const arm = limb?.arm ?? rules.arm
  const site = limb?.site ?? rules.site
  const times = readings.flatMap(({ takenAt }) => takenAt ?? [])
  const session: Session = {
    id: `${rankOf(group, rules)} ${key}`,
    subject: '',
    takenAt: times.reduce((a, b) => (b.epochMs < a.epochMs ? b : a)),
    setting: first?.reading.setting ?? 'home',
    ...(position === undefined ? {} : { position }),
    ...(arm === undefined ? {} : { arm }),
    ...(site === undefined ? {} : { site }),
    readings,
    entry: 'transferred',
    conditions: {},
  }
  return { session, findings, withdrawn: first?.reading.enteredInError === true }
}

/** Its latest reason to come later, and the first place of any of its readings. */
function rankOf(
  group: readonly { readonly reading: TimedReading }[],
  { rank }: Pick<RegroupingRules, 'rank'>,
): string {
  const ranks = group.map(({ reading }) => rank(reading))
  const late = ranks.reduce((a, b) => Math.max(a, b.late), 0)
  const place = ranks.reduce((a, b) => Math.min(a, b.place), Number.MAX_SAFE_INTEGER)
  return `${late} ${String(place).padStart(16, '0')}`
}

function finding(code: 'monitor-improper-position' | 'monitor-body-movement', reading: number): Finding {
  return {
    code,
    kind: 'technique',
    severity: 'warning',
    reading,
    direction: 'unknown',
    text: '',
    citation: 'common-practice',
  }
}
