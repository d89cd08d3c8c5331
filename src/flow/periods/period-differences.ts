import { type Issue, inputError } from '../../core/basics/issue.ts'
import { daysBetween } from '../../core/basics/local-day.ts'
import type { Period } from '../../core/registry/period.ts'

/** In what a period that is asked for is another than the one that is there under its id; none when it is the same. */
export function periodDifferences(asked: Period, held: Period): readonly Issue[] {
  const issues: Issue[] = []
  if (asked.lastDay !== held.lastDay) {
    const days = daysBetween(held.firstDay, held.lastDay) + 1
    issues.push(otherThan('days', `${days}, to ${held.lastDay}`, held))
  }
  if (asked.arm !== held.arm) issues.push(otherThan('arm', held.arm ?? 'none', held))
  return issues
}

function otherThan(key: string, value: string, { id, firstDay }: Period): Issue {
  return inputError(
    'conflict',
    'SAME_PERIOD_OTHER_PLAN',
    key,
    `${value}, as the period that is there from ${firstDay} has it: ${id}`,
    'Use that period as it is, or open one from another day or under another protocol. Nothing was changed.',
  )
}
