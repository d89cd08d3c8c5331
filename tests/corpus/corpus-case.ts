import type { ErrorCode } from '../../src/core/basics/error-codes.ts'
import type { Issue } from '../../src/core/basics/issue.ts'
import type { ValidationOptions } from '../../src/core/validation/validation-options.ts'
import { spoilt } from '../support/spoilt-resource.ts'

/** A resource with the verdict that R4 4.0.1 and the profiles give it, and the rule behind the verdict. */
export interface CorpusCase {
  /** What it is, or what is wrong with it. */
  readonly title: string
  /** The example its facts are from, or the page, section or constraint that decides. */
  readonly source: string
  readonly resource: unknown
  readonly options?: ValidationOptions
  /**
   * `valid`: nothing blocks. Else issues: those that block are all there may be, each of the others must be among
   * what is said. With issues that do not block only, the resource is valid.
   */
  readonly verdict: 'valid' | readonly ExpectedIssue[]
}

export interface ExpectedIssue {
  readonly code: ErrorCode
  /** The published key, where the rule has one. */
  readonly rule?: string
  /** FHIRPath. */
  readonly at: string
  readonly severity: Issue['severity']
}

export function isValid({ verdict }: CorpusCase): boolean {
  return verdict === 'valid' || verdict.every(({ severity }) => !blocking(severity))
}

function blocking(severity: Issue['severity']): boolean {
  return severity === 'error' || severity === 'fatal'
}

/** What of the expected or the found blocks, as sorted texts `CODE rule at`, each once. */
export function blockingTexts(issues: readonly ExpectedIssue[]): readonly string[] {
  const texts = issues.filter(({ severity }) => blocking(severity)).map(issueKey)
  return [...new Set(texts)].sort()
}

export function issueKey({ code, rule, at }: ExpectedIssue): string {
  return [code, rule, at].filter((part) => part !== undefined && part !== '').join(' ')
}

export const structure = (at: string): ExpectedIssue => ({ code: 'STRUCTURE', at, severity: 'error' })
export const invariant = (rule: string, at: string): ExpectedIssue => ({
  code: 'INVARIANT',
  rule,
  at,
  severity: 'error',
})
export const profile = (rule: string, at: string): ExpectedIssue => ({
  code: 'PROFILE',
  rule,
  at,
  severity: 'error',
})
export const code = (rule: string, at: string): ExpectedIssue => ({
  code: 'CODE',
  rule,
  at,
  severity: 'error',
})
export const reference = (rule: string, at: string): ExpectedIssue => ({
  code: 'REFERENCE',
  rule,
  at,
  severity: 'error',
})
export const fatal = (code: ErrorCode, at: string): ExpectedIssue => ({ code, at, severity: 'fatal' })
export const warning = (issue: ExpectedIssue): ExpectedIssue => ({ ...issue, severity: 'warning' })
export const information = (issue: ExpectedIssue): ExpectedIssue => ({ ...issue, severity: 'information' })

/** A whole resource, valid unless issues are named. */
export function whole(
  title: string,
  source: string,
  resource: unknown,
  ...verdict: readonly ExpectedIssue[]
): CorpusCase {
  return { title, source, resource, verdict: verdict.length === 0 ? 'valid' : verdict }
}

/**
 * A valid resource after one change, valid still unless issues are named: the value at a path of keys and indices,
 * such as `component.0.valueQuantity.code`, is replaced, or removed when undefined.
 */
export type Change = readonly [
  title: string,
  source: string,
  path: string,
  value: unknown,
  ...verdict: readonly ExpectedIssue[],
]

export function changes(of: string, base: () => unknown, list: readonly Change[]): readonly CorpusCase[] {
  return list.map(([title, source, path, value, ...verdict]) =>
    whole(`${of}: ${title}`, source, spoilt(base(), path, value), ...verdict),
  )
}

/** The same cases under options. */
export function under(options: ValidationOptions, cases: readonly CorpusCase[]): readonly CorpusCase[] {
  return cases.map((one) => ({ ...one, options }))
}
