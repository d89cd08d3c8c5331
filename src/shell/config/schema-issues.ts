import { z } from 'zod'
import type { ErrorCode } from '../../core/basics/error-codes.ts'
import { type Issue, type IssueType, inputError } from '../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import { nearestKey } from '../../core/mapping/nearest-key.ts'
import { placeText } from '../../core/mapping/place-text.ts'

/**
 * Reads a value by a schema: the value as the schema gives it, or every issue with its path, what was expected there and
 * what to do. No issue repeats the value it complains of, so a secret or a name cannot leak through one.
 */
export function readBySchema<Schema extends z.ZodType>(
  schema: Schema,
  value: unknown,
): Result<z.output<Schema>> {
  const read = schema.safeParse(value)
  if (read.success) return ok(read.data)
  const issues = read.error.issues.flatMap((issue) => issuesOf(issue, schema, value, []))
  return isNonEmpty(issues) ? refused(issues) : refused([anIssue('WRONG_TYPE', '', 'another value', '')])
}

function issuesOf(
  issue: z.core.$ZodIssue,
  schema: z.ZodType,
  value: unknown,
  above: readonly PropertyKey[],
): readonly Issue[] {
  const path = [...above, ...issue.path]
  const at = placeText(path)
  switch (issue.code) {
    case 'unrecognized_keys':
      return issue.keys.map((key) => unknownKey(key, path, schema))
    case 'invalid_type':
      if (isAbsent(value, path)) return [anIssue('MISSING_KEY', at, typeWords(issue.expected), 'Add it.')]
      return [anIssue('WRONG_TYPE', at, typeWords(issue.expected), 'Send the type that is named.')]
    case 'invalid_value': {
      const expected = `one of: ${issue.values.map(String).join(', ')}`
      if (isAbsent(value, path)) return [anIssue('MISSING_KEY', at, expected, 'Add it.')]
      return [anIssue('NOT_A_CHOICE', at, expected, 'Use one of the words listed.')]
    }
    case 'too_small':
      return [outOfRange(at, `${sizeWords(issue.origin)}at least ${issue.minimum}`)]
    case 'too_big':
      return [outOfRange(at, `${sizeWords(issue.origin)}at most ${issue.maximum}`)]
    case 'custom':
      return [outOfRange(at, issue.message)]
    case 'invalid_format':
      return [
        outOfRange(
          at,
          issue.message.startsWith('Invalid') ? `text in the form ${issue.format}` : issue.message,
        ),
      ]
    case 'invalid_union': {
      const nearest = nearestBranch(issue.errors)
      if (nearest !== undefined) return nearest.flatMap((one) => issuesOf(one, schema, value, path))
      if (isAbsent(value, path)) return [anIssue('MISSING_KEY', at, 'a value', 'Add it.')]
      return [anIssue('NOT_A_CHOICE', at, 'one of the documented forms', 'Use a documented form.')]
    }
    default:
      return [anIssue('WRONG_TYPE', at, 'a value of the documented form', 'See the documented form.')]
  }
}

/** The branch of a union that came furthest: one that matched the type and only found fault inside it. */
function nearestBranch(
  branches: readonly (readonly z.core.$ZodIssue[])[],
): readonly z.core.$ZodIssue[] | undefined {
  return branches.find(
    (branch) =>
      branch.length > 0 && branch.every((issue) => issue.path.length > 0 || issue.code !== 'invalid_type'),
  )
}

function unknownKey(key: string, path: readonly PropertyKey[], schema: z.ZodType): Issue {
  const known = keysAt(schema, path)
  const meant = nearestKey(key, known)
  return anIssue(
    'UNKNOWN_KEY',
    placeText([...path, key]),
    known.length === 0 ? 'only the documented keys' : `only the keys ${known.join(', ')}`,
    meant === undefined ? 'Remove the key.' : `Did you mean “${meant}”? If not, remove the key.`,
  )
}

/** Keys of the object schema at a path, through defaults, optionals and arrays. Empty where there is no single one. */
function keysAt(schema: z.ZodType, path: readonly PropertyKey[]): readonly string[] {
  let here: unknown = schema
  for (const step of path) {
    here = bare(here)
    if (here instanceof z.ZodObject) here = here.shape[String(step)]
    else if (here instanceof z.ZodArray) here = here.element
    else return []
  }
  here = bare(here)
  return here instanceof z.ZodObject ? Object.keys(here.shape) : []
}

/** The schema inside defaults, optionals and transforms. */
export function bare(schema: unknown): unknown {
  let here = schema
  for (;;) {
    if (here instanceof z.ZodDefault || here instanceof z.ZodPrefault || here instanceof z.ZodOptional) {
      here = here.unwrap()
    } else if (here instanceof z.ZodPipe) here = here.in
    else return here
  }
}

function isAbsent(value: unknown, path: readonly PropertyKey[]): boolean {
  let here: unknown = value
  for (const step of path) {
    if (typeof here !== 'object' || here === null || !Object.hasOwn(here, step)) return true
    here = Reflect.get(here, step)
  }
  return here === undefined
}

function typeWords(expected: string): string {
  const words: Readonly<Record<string, string>> = {
    string: 'text',
    int: 'a whole number',
    number: 'a number',
    boolean: 'true or false',
    object: 'an object',
    record: 'an object',
    array: 'an array',
  }
  return words[expected] ?? expected
}

function sizeWords(origin: string): string {
  if (origin === 'string') return 'text with a length of '
  return origin === 'array' ? 'a number of items of ' : 'a number of '
}

function outOfRange(at: string, expected: string): Issue {
  return anIssue('OUT_OF_RANGE', at, expected, 'Correct the value.')
}

const TYPES: Partial<Record<ErrorCode, IssueType>> = {
  UNKNOWN_KEY: 'structure',
  WRONG_TYPE: 'structure',
  MISSING_KEY: 'required',
  NOT_A_CHOICE: 'code-invalid',
}

function anIssue(code: ErrorCode, at: string, expected: string, remedy: string): Issue {
  return inputError(TYPES[code] ?? 'value', code, at, expected, remedy)
}
