import type { Issue } from '../basics/issue.ts'

/**
 * The issues with what recomputing said in general words: its figures and reasons stand under averages, once, so that
 * the account of the rules holds nothing that was measured.
 */
export function withoutFigures(issues: readonly Issue[]): readonly Issue[] {
  return issues.some(isOfRecomputing) ? issues.map(inGeneral) : issues
}

/** Whether the issue says of an average that it differs, cannot be worked out again, or was on an assumption. */
export function isOfRecomputing({ code }: Issue): boolean {
  return code === 'RECOMPUTE'
}

function inGeneral(issue: Issue): Issue {
  if (!isOfRecomputing(issue)) return issue
  return issue.severity === 'information'
    ? { ...issue, remedy: 'Read why under averages.' }
    : {
        ...issue,
        expected: 'what the readings of the average give by its protocol',
        remedy: 'Read both figures under averages, and correct the average or its readings at their source.',
      }
}
