import { ERROR_CODES } from '../basics/error-codes.ts'
import type { Issue, IssueSeverity } from '../basics/issue.ts'
import type { Expectation, IssuePlace, RuleVerdict, Unjudged } from './audit-report.ts'
import { isOfRecomputing } from './without-figures.ts'

/** Places listed of each thing that was expected. */
export const MOST_PLACES = 5

/** Different expectations listed of each rule; what comes after is counted under the rule alone. */
const MOST_EXPECTATIONS = 50

type Counted<T> = { -readonly [K in keyof T]: T[K] }

interface OneRule {
  readonly first: Issue
  times: number
  inResources: number
  readonly expectations: Map<string, Counted<Expectation> & { readonly places: IssuePlace[] }>
}

/** Counts issues by the rule they are of, its code and its severity, with memory that does not grow with them. */
export class RuleTally {
  readonly #rules = new Map<string, OneRule>()

  /**
   * Counts the issues of one resource, those of the resources in it included.
   *
   * @param ownerOf the path of the innermost resource an issue's place lies in.
   */
  add(issues: readonly Issue[], file: Omit<IssuePlace, 'at'>, ownerOf: (at: string) => string): void {
    const seen = new Set<string>()
    for (const issue of issues) {
      const key = `${issue.severity} ${issue.code} ${issue.rule ?? ''}`
      const rule = this.#rules.get(key) ?? newRule(issue)
      this.#rules.set(key, rule)
      rule.times += 1
      const ownedKey = `${ownerOf(issue.at)} ${key}`
      if (!seen.has(ownedKey)) rule.inResources += 1
      seen.add(ownedKey)
      addExpectation(rule, issue, { ...file, at: issue.at })
    }
  }

  verdicts(): readonly RuleVerdict[] {
    return [...this.#rules.values()].sort(byWeight).map(({ first, times, inResources, expectations }) => ({
      ...(first.rule === undefined ? {} : { rule: first.rule }),
      code: first.code,
      meaning: ERROR_CODES[first.code][0],
      severity: first.severity,
      times,
      inResources,
      expectations: [...expectations.values()].sort((a, b) => b.times - a.times),
    }))
  }

  /**
   * What the issues say could not be judged: all information but what is told elsewhere in the report, or was asked for.
   */
  notEnforced(): readonly Unjudged[] {
    return [...this.#rules.values()]
      .filter(({ first }) => saysUnjudged(first))
      .flatMap(({ first, expectations }) =>
        [...expectations.values()].map(({ expected, remedy, times }) => ({
          ...(first.rule === undefined ? {} : { rule: first.rule }),
          code: first.code,
          what: expected,
          remedy,
          times,
        })),
      )
      .sort((a, b) => b.times - a.times)
  }
}

function saysUnjudged(issue: Issue): boolean {
  if (issue.severity !== 'information' || isOfRecomputing(issue)) return false
  return issue.code !== 'TOO_MANY' && issue.rule !== MUST_SUPPORT
}

/** The rule of what is told on request: an element that is absent and need not be there. */
const MUST_SUPPORT = 'must-support'

function newRule(first: Issue): OneRule {
  return { first, times: 0, inResources: 0, expectations: new Map() }
}

function addExpectation({ expectations }: OneRule, { expected, remedy }: Issue, place: IssuePlace): void {
  const key = `${expected}\n${remedy}`
  let expectation = expectations.get(key)
  if (expectation === undefined) {
    if (expectations.size >= MOST_EXPECTATIONS) return
    expectation = { expected, remedy, times: 0, places: [] }
    expectations.set(key, expectation)
  }
  expectation.times += 1
  if (expectation.places.length < MOST_PLACES) expectation.places.push(place)
}

const WEIGHT: Readonly<Record<IssueSeverity, number>> = { fatal: 0, error: 1, warning: 2, information: 3 }

function byWeight(a: OneRule, b: OneRule): number {
  return WEIGHT[a.first.severity] - WEIGHT[b.first.severity] || b.times - a.times
}
