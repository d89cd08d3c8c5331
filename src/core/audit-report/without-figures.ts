import type { Issue } from '../basics/issue.ts'
import { recomputeIssues } from '../recompute/recompute-averages.ts'
import type { RecomputedAverage } from '../recompute/recomputed-average.ts'

/**
 * The issues with what recomputing said in general words: its figures and reasons stand under averages, once, so that
 * the account of the rules holds nothing that was measured.
 */
export function withoutFigures(
  issues: readonly Issue[],
  recomputed: readonly RecomputedAverage[],
): readonly Issue[] {
  const ofRecomputing = new Set(recomputeIssues(recomputed).map(identity))
  if (ofRecomputing.size === 0) return issues
  return issues.map((issue) =>
    ofRecomputing.has(identity(issue)) ? { ...issue, ...inGeneral(issue) } : issue,
  )
}

function identity({ severity, code, rule, at, expected, remedy }: Issue): string {
  return JSON.stringify([severity, code, rule, at, expected, remedy])
}

function inGeneral({ severity }: Issue): Pick<Issue, 'expected' | 'remedy'> {
  return severity === 'information'
    ? { expected: 'an average that can be worked out again', remedy: 'Read the reason under averages.' }
    : {
        expected: 'what the readings of the average give by its protocol',
        remedy: 'Read both figures under averages, and correct the average or its readings at their source.',
      }
}
