import { z } from 'zod'
import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { type Issue, type IssueType, inputError } from '../../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../../core/basics/result.ts'
import { nearestKey } from '../../../core/json-text/nearest-key.ts'
import { placeText } from '../../../core/json-text/place-text.ts'

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
      return issue.keys.map((key) => unknownKey(key, path, schema, value))
    case 'invalid_type':
      if (isAbsent(value, path)) return [anIssue('MISSING_KEY', at, typeWords(issue.expected), 'Add it.')]
      return [anIssue('WRONG_TYPE', at, typeWords(issue.expected), 'Send the type that is named.')]
    case 'invalid_value':
      return [notAChoice(at, issue.values, isAbsent(value, path))]
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
      if ('options' in issue) return [notAChoice(at, issue.options ?? [], isAbsent(value, path))]
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

function unknownKey(key: string, path: readonly PropertyKey[], schema: z.ZodType, value: unknown): Issue {
  const here = schemaAt(schema, path, value)
  const known = here instanceof z.ZodObject ? Object.keys(here.shape) : []
  const meant = nearestKey(key, known)
  return anIssue(
    'UNKNOWN_KEY',
    placeText([...path, key]),
    known.length === 0 ? 'only the documented keys' : `only the keys ${known.join(', ')}`,
    meant === undefined ? 'Remove the key.' : `Did you mean “${meant}”? If not, remove the key.`,
  )
}

/** The schema that what is written at a path is held to, in the form that is chosen by what is written. */
function schemaAt(schema: z.ZodType, path: readonly PropertyKey[], value: unknown): unknown {
  let [here, written] = formOf(schema, value)
  for (const step of path) {
    let inner: unknown
    if (here instanceof z.ZodObject) inner = here.shape[String(step)]
    else if (here instanceof z.ZodArray) inner = here.element
    ;[here, written] = formOf(inner, partOf(written, step))
  }
  return here
}

/** A schema without what wraps it, a union by the one of its objects that is meant; and what it is given to read. */
function formOf(schema: unknown, written: unknown): readonly [schema: unknown, written: unknown] {
  if (schema instanceof z.ZodPipe && schema.in instanceof z.ZodTransform) {
    return formOf(schema.out, schema.in.safeParse(written).data)
  }
  const here = bare(schema)
  if (here !== schema) return formOf(here, written)
  if (!(here instanceof z.ZodUnion)) return [here, written]
  const objects = here.options.filter((option) => option instanceof z.ZodObject)
  if (!(here instanceof z.ZodDiscriminatedUnion)) return [objects[0], written]
  const key = here.def.discriminator
  const kind = partOf(written, key)
  return [objects.find(({ shape }) => shape[key]?.safeParse(kind).success === true), written]
}

/** The schema inside defaults, optionals and transforms. */
export function bare(schema: unknown): unknown {
  let here = schema
  for (;;) {
    if (here instanceof z.ZodDefault || here instanceof z.ZodPrefault || here instanceof z.ZodOptional) {
      here = here.unwrap()
    } else if (here instanceof z.ZodPipe && !(here.in instanceof z.ZodTransform)) here = here.in
    else return here
  }
}

function isAbsent(value: unknown, path: readonly PropertyKey[]): boolean {
  return path.reduce(partOf, value) === undefined
}

function partOf(value: unknown, step: PropertyKey): unknown {
  if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined
  return Reflect.get(value, step)
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

function notAChoice(at: string, choices: readonly unknown[], absent: boolean): Issue {
  const expected = `one of: ${choices.map(String).join(', ')}`
  return absent
    ? anIssue('MISSING_KEY', at, expected, 'Add it.')
    : anIssue('NOT_A_CHOICE', at, expected, 'Use one of the words listed.')
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
