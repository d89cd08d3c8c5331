import { type Issue, inputError } from '../basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../basics/result.ts'
import { isDangerousKey } from './dangerous-key.ts'
import { jsonShape } from './json-shape.ts'
import { walkJson } from './json-walk.ts'
import { placeText } from './place-text.ts'
import { textPlaceAt } from './text-place.ts'

export interface JsonLimits {
  /** Objects and arrays that may be open at once; keep it below a thousand, the value is walked by recursion. */
  readonly maxDepth: number
}

/** A session record is four deep; a FHIR bundle seldom passes fifteen. */
export const DEFAULT_JSON_LIMITS: JsonLimits = { maxDepth: 32 }

/** Issues told about the keys of one text. */
const MOST_KEY_ISSUES = 20

/**
 * Parses JSON that comes from outside. Refuses, beside what is not JSON, what parsers read differently or carelessly:
 * nesting beyond the limit, a key given twice in one object (RFC 8259 section 4 leaves its meaning open, and
 * `JSON.parse` keeps the last without a word), and keys that tamper with objects. A byte order mark is skipped.
 *
 * The text is never quoted in an issue: it may hold health data.
 */
export function readJson(text: string, limits: JsonLimits): Result<unknown> {
  const json = withoutByteOrderMark(text)
  const { depth, members } = jsonShape(json)
  if (depth > limits.maxDepth) return refused([tooDeep(limits)])
  let value: unknown
  try {
    value = JSON.parse(json)
  } catch (error) {
    if (!(error instanceof SyntaxError)) throw error
    return refused([notJson(json)])
  }
  // A repeated key leaves fewer keys in the value than the text has members.
  if (harmlessKeys(value) === members) return ok(value)
  return refusedKeys(json)
}

/** The JSON text without the mark some writers put before it, which is no part of it. Source: RFC 8259 section 8.1. */
export function withoutByteOrderMark(text: string): string {
  return text.charCodeAt(0) === BYTE_ORDER_MARK ? text.slice(1) : text
}

const BYTE_ORDER_MARK = 0xfeff

/** Keys in a parsed JSON value, in all its objects, leaving out dangerous ones. */
function harmlessKeys(value: unknown): number {
  if (typeof value !== 'object' || value === null) return 0
  let count = 0
  if (Array.isArray(value)) {
    for (const item of value) if (typeof item === 'object') count += harmlessKeys(item)
    return count
  }
  const members = value as Readonly<Record<string, unknown>>
  for (const key in members) {
    if (isDangerousKey(key)) continue
    count++
    const member = members[key]
    if (typeof member === 'object') count += harmlessKeys(member)
  }
  return count
}

function refusedKeys(json: string): Result<unknown> {
  const issues: Issue[] = []
  walkJson(json, (path, repeated) => {
    if (issues.length >= MOST_KEY_ISSUES) return
    if (isDangerousKey(String(path.at(-1)))) issues.push(dangerousKey(placeText(path)))
    else if (repeated) issues.push(duplicateKey(placeText(path)))
  })
  if (!isNonEmpty(issues)) throw new Error('keys were refused for no reason that could be told')
  return refused(issues)
}

function tooDeep({ maxDepth }: JsonLimits): Issue {
  const expected = `objects and arrays nested at most ${maxDepth} deep`
  return inputError('structure', 'TOO_DEEP', '', expected, 'Send the documented shape.')
}

function dangerousKey(at: string): Issue {
  const expected = 'no key that can tamper with objects'
  return inputError('structure', 'DANGEROUS_KEY', at, expected, 'Remove the key.')
}

function duplicateKey(at: string): Issue {
  const expected = 'each key once in an object'
  return inputError('structure', 'DUPLICATE_KEY', at, expected, 'Remove one of the two.')
}

function notJson(json: string): Issue {
  const fault = walkJson(json, () => {}) ?? { offset: 0, expected: 'JSON text' }
  return inputError(
    'structure',
    'NOT_JSON',
    textPlaceAt(json, fault.offset),
    fault.expected,
    'Correct the text from there on.',
  )
}
