import type { LeftOutReason } from '../averaging/period-average.ts'
import type { LeftOutRule, LeftOutSummary } from './left-out-summary.ts'

/**
 * What was left out, grouped by reason: one line of counts, then each rule once. Says so when nothing was.
 */
export function leftOutLines(
  leftOut: readonly LeftOutSummary[],
  rules: readonly LeftOutRule[],
): readonly string[] {
  if (leftOut.length === 0) return ['Nothing was left out.']
  const groups = new Map<LeftOutReason, LeftOutSummary[]>()
  for (const one of leftOut) groups.set(one.reason, [...(groups.get(one.reason) ?? []), one])
  const counts = ORDER.flatMap((reason) => {
    const group = groups.get(reason)
    return group === undefined ? [] : [`${group.length} ${inWords(reason, group)} (${daysText(group)})`]
  })
  const texts = ORDER.flatMap((reason) => rules.filter((rule) => rule.reason === reason))
  return [`Left out: ${counts.join('; ')}.`, ...texts.map(({ text }) => text)]
}

function inWords(reason: LeftOutReason, group: readonly LeftOutSummary[]): string {
  const oneDay = group.every(({ day }) => day === group[0]?.day)
  return reason === 'first-day' && oneDay ? 'of the first day' : IN_WORDS[reason]
}

const IN_WORDS: Readonly<Record<LeftOutReason, string>> = {
  'first-day': 'of the first days',
  'first-reading': 'as first of their sitting',
  'extra-reading': 'beyond the readings asked for in a sitting',
  'extra-sitting': 'of a further sitting in the same window',
  'outside-window': 'outside the hours of measuring',
  'outside-period': 'outside the period',
  'other-position': 'standing or lying',
  'other-arm': 'of the other arm',
  'other-site': 'of the other site',
  'arm-not-stated': 'not known to be of the arm averaged',
  'site-not-stated': 'not known to be of the site averaged',
  'other-setting': 'not taken at home',
  'pressure-missing': 'without both pressures',
  'same-reading-again': 'sent before as the same reading',
  'excluded-by-policy': 'by the clinic’s own rule',
  withdrawn: 'taken back by the source',
}

const ORDER: readonly LeftOutReason[] = [
  'first-day',
  'first-reading',
  'extra-reading',
  'extra-sitting',
  'outside-window',
  'outside-period',
  'other-position',
  'other-arm',
  'arm-not-stated',
  'other-site',
  'site-not-stated',
  'other-setting',
  'pressure-missing',
  'same-reading-again',
  'excluded-by-policy',
  'withdrawn',
]

function daysText(group: readonly LeftOutSummary[]): string {
  const days = [...new Set(group.map(({ day }) => day))].sort()
  const [first] = days
  if (days.length <= DAYS_LISTED) return days.join(', ')
  return `${days.length} days, ${first} to ${days.at(-1)}`
}

const DAYS_LISTED = 3
