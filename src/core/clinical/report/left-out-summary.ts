import type { LocalDay } from '../../basics/local-day.ts'
import type { LeftOut, LeftOutReason, PeriodAverage } from '../averaging/period-average.ts'
import { type FindingCode, findingWords } from '../finding.ts'

/** One reading that was received and not averaged. */
export interface LeftOutSummary {
  readonly session: string
  /** Name of the session's source, where the sittings are of more than one. */
  readonly source?: string
  /** 1-based place in the sitting. */
  readonly reading: number
  readonly day: LocalDay
  readonly reason: LeftOutReason
  /** A few words; the rule and its source are in the rules, once. */
  readonly text: string
  /** Findings for which the clinic’s policy leaves it out; only with that reason. */
  readonly findings?: readonly FindingCode[]
}

/** Why readings were left out: each rule once, in the order of the readings. */
export interface LeftOutRule {
  readonly reason: LeftOutReason
  readonly text: string
  readonly readings: number
}

export function leftOutSummary(leftOut: LeftOut): LeftOutSummary {
  const { placed, reason } = leftOut
  return {
    session: placed.session.id,
    ...(placed.source === undefined ? {} : { source: placed.source }),
    reading: placed.reading.ordinal,
    day: placed.day,
    reason,
    text: leftOutInShort(leftOut),
    ...(reason === 'excluded-by-policy' ? { findings: placed.excludedFor } : {}),
  }
}

/** The protocol and its source are named once for the whole average, so that a rule of it does not repeat them. */
export function leftOutRules({ plan, leftOut }: PeriodAverage): readonly LeftOutRule[] {
  const { title, citation } = plan.protocol
  const withoutSource = (text: string) =>
    text.replace(`The protocol "${title}"`, 'The rule').replace(` Source: ${citation.text}.`, '')
  const rules = new Map<string, LeftOutRule>()
  for (const { reason, text } of leftOut) {
    const readings = (rules.get(text)?.readings ?? 0) + 1
    rules.set(text, { reason, text: withoutSource(text), readings })
  }
  return [...rules.values()]
}

/** Why one reading was left out, without the rule behind it. Holds no measured value. */
export function leftOutInShort({ reason, placed, sameAs }: LeftOut): string {
  if (sameAs !== undefined) return `The same reading came through ${sameAs.source} too.`
  if (reason === 'excluded-by-policy' && placed.excludedFor.length > 0) {
    return `Left out by the clinic’s own rule for: ${placed.excludedFor.map(findingWords).join(', ')}.`
  }
  return IN_SHORT[reason]
}

const IN_SHORT: Readonly<Record<LeftOutReason, string>> = {
  'first-day': 'Taken on the first days of measuring.',
  'first-reading': 'First reading of its sitting.',
  'outside-period': 'Taken on a day outside the period.',
  'outside-window': 'Taken outside the hours of measuring.',
  'other-position': 'Taken standing or lying.',
  'other-arm': 'Taken on the other arm.',
  'other-site': 'Taken at the other site.',
  'arm-not-stated': 'Not known to be of the arm that is averaged.',
  'site-not-stated': 'Not known to be of the site that is averaged.',
  'other-setting': 'Not taken at home.',
  'pressure-missing': 'One of the two pressures is missing.',
  withdrawn: 'Taken back by its source.',
  'same-reading-again': 'The same reading was sent before.',
  'excluded-by-policy': 'Left out by the clinic’s own rule.',
  'extra-sitting': 'A further sitting in the same window of the day.',
  'extra-reading': 'A further reading of its sitting.',
}
