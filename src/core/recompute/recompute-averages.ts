import type { Issue } from '../basics/issue.ts'
import type { BundleScope } from './bundle-scope.ts'
import { BundleReadings } from './readings/bundle-readings.ts'
import { recomputeAverage } from './recompute-average.ts'
import type { AverageDifference, RecomputedAverage } from './recomputed-average.ts'
import { type RecomputeRules, RecomputeRun } from './run.ts'
import { findAverages } from './stated/find-averages.ts'

export type { RecomputeRules }

/**
 * Works out again every average in a resource, alone or in bundles. Never throws, whatever JSON it is given; the work
 * is in proportion to the resource, and an average that would take more is named as not recomputable.
 */
export function recomputeAverages(resource: unknown, rules: RecomputeRules): readonly RecomputedAverage[] {
  const run = new RecomputeRun(rules)
  const readings = new Map<BundleScope, BundleReadings>()
  return findAverages(resource).map((found) => {
    let bundle = readings.get(found.scope)
    if (bundle === undefined) {
      bundle = new BundleReadings(found.scope)
      readings.set(found.scope, bundle)
    }
    return recomputeAverage(found, bundle, run)
  })
}

/**
 * The same as issues: a warning for each difference, information for what could not be recomputed or was worked out
 * on an assumption, nothing for an average that agrees as it stands. The only issues that name measured values.
 */
export function recomputeIssues(recomputed: readonly RecomputedAverage[]): readonly Issue[] {
  return recomputed.flatMap(({ at, differences, reason, assumed }) => [
    ...differences.map(asIssue),
    ...(reason === undefined ? [] : [notJudged(at, 'an average that can be worked out again', reason)]),
    ...(assumed === undefined
      ? []
      : [notJudged(at, 'an average that says all it takes to work it out again', assumed.join(' '))]),
  ])
}

function asIssue({ what, at, expected, found }: AverageDifference): Issue {
  return {
    severity: 'warning',
    type: 'business-rule',
    code: 'RECOMPUTE',
    at,
    expected: `${what}: ${expected}; found ${found}`,
    remedy: 'Compare the average with the readings it was derived from.',
    rule: 'recompute',
  }
}

function notJudged(at: string, expected: string, remedy: string): Issue {
  return {
    severity: 'information',
    type: 'informational',
    code: 'RECOMPUTE',
    at,
    expected,
    remedy,
    rule: 'recompute',
  }
}
