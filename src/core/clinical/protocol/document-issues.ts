import type { z } from 'zod'
import type { Issue } from '../../basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../basics/result.ts'

/**
 * A protocol or threshold document read by its schema, or every issue in it, each at its own path.
 *
 * @param name what the remedies call the document: "the protocol file".
 */
export function readDocument<S extends z.ZodType>(
  schema: S,
  json: unknown,
  name: string,
): Result<z.output<S>> {
  const read = schema.safeParse(json)
  if (read.success) return ok(read.data)
  const issues = read.error.issues.flatMap((issue) => issuesOf(issue, name))
  if (isNonEmpty(issues)) return refused(issues)
  throw new TypeError('the schema refused the document without an issue', { cause: read.error })
}

function issuesOf(issue: z.core.$ZodIssue, name: string): readonly Issue[] {
  const at = pathText(issue.path)
  if (issue.code === 'unrecognized_keys') {
    return issue.keys.map((key) =>
      settingsIssue(
        'structure',
        at === '' ? key : `${at}.${key}`,
        'no such key',
        `Remove it from ${name}, or correct its spelling.`,
      ),
    )
  }
  return [settingsIssue('value', at, expectedBy(issue), `Correct it in ${name} and start again.`)]
}

function settingsIssue(type: Issue['type'], at: string, expected: string, remedy: string): Issue {
  return { severity: 'error', type, code: 'SETTINGS_REFUSED', at, expected, remedy }
}

/** What the schema wanted, as a clause. Our schemas' own messages are such clauses already. */
function expectedBy(issue: z.core.$ZodIssue): string {
  switch (issue.code) {
    case 'invalid_type':
      return KINDS[issue.expected] ?? `a value of type ${issue.expected}`
    case 'invalid_value':
      return `one of ${issue.values.map((value) => JSON.stringify(value)).join(', ')}`
    case 'too_small':
      return `${issue.inclusive ? 'at least' : 'more than'} ${issue.minimum}${countedBy(issue.origin)}`
    case 'too_big':
      return `${issue.inclusive ? 'at most' : 'less than'} ${issue.maximum}${countedBy(issue.origin)}`
    case 'not_multiple_of':
      return `a multiple of ${issue.divisor}`
    case 'invalid_format':
      return issue.format === 'url' ? 'a URL' : issue.message
    default:
      return issue.message
  }
}

const KINDS: Readonly<Record<string, string>> = {
  string: 'a text',
  number: 'a number',
  int: 'a whole number',
  array: 'a list',
  object: 'an object',
}

function countedBy(origin: string): string {
  if (origin === 'string') return ' characters'
  return origin === 'array' ? ' items' : ''
}

/** `sittings[1].to` */
function pathText(path: readonly PropertyKey[]): string {
  return path.reduce<string>((text, step) => {
    if (typeof step === 'number') return `${text}[${step}]`
    return text === '' ? String(step) : `${text}.${String(step)}`
  }, '')
}
