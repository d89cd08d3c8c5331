import type { z } from 'zod'
import type { Issue } from '../basics/issue.ts'
import { isDangerousKey } from '../json-text/dangerous-key.ts'
import { bare, nearestKey } from '../json-text/nearest-key.ts'
import { type InputPath, placeInside } from '../json-text/place-text.ts'
import { recordGuide } from './record-guide.ts'
import { placeOf, recordIssue } from './record-issue.ts'

/**
 * What the schema refused, in our own codes and the schema's own descriptions, and never the value. One issue for
 * each value, since its description tells the whole of what is expected; one for each unknown key.
 *
 * @param record what was refused, looked at only to tell absent from wrong.
 */
export function* schemaIssues(error: z.ZodError, record: unknown): Generator<Issue> {
  const told = new Set<string>()
  for (const problem of error.issues) {
    if (problem.code === 'unrecognized_keys') {
      for (const key of problem.keys) yield unknownKey(problem.path, key)
      continue
    }
    const place = problem.path.join('/')
    if (told.has(place)) continue
    told.add(place)
    yield valueIssue(problem, valueAt(record, problem.path))
  }
}

const CHECK_AT_SOURCE = 'Check the value and its unit at the source.'

function valueIssue(problem: z.core.$ZodIssue, value: unknown): Issue {
  const { path } = problem
  if (value === undefined && path.length > 0) return recordIssue('MISSING_KEY', path, 'Add the key.')
  switch (problem.code) {
    case 'invalid_type':
      // A number that is not whole, or too large for JSON to hold, is of the right type and still not possible.
      return typeof value === 'number' && (problem.expected === 'int' || problem.expected === 'number')
        ? recordIssue('OUT_OF_RANGE', path, CHECK_AT_SOURCE)
        : wrongType(value, path)
    case 'invalid_value':
      return typeof value === 'string'
        ? recordIssue('NOT_A_CHOICE', path, 'Use one of the words listed, spelled exactly so.')
        : wrongType(value, path)
    case 'invalid_format':
      return value === ''
        ? recordIssue('OUT_OF_RANGE', path, 'Send the text; where the key is optional, leave it out instead.')
        : recordIssue('OUT_OF_RANGE', path, 'Remove the characters that are not allowed.')
    case 'too_big':
      return typeof value === 'string'
        ? recordIssue('TOO_LARGE', path, 'Shorten the text.')
        : recordIssue('OUT_OF_RANGE', path, CHECK_AT_SOURCE)
    case 'too_small':
      return Array.isArray(value)
        ? recordIssue('OUT_OF_RANGE', path, 'Send at least one.')
        : recordIssue('OUT_OF_RANGE', path, CHECK_AT_SOURCE)
    default:
      return recordIssue('OUT_OF_RANGE', path, CHECK_AT_SOURCE)
  }
}

function wrongType(value: unknown, path: InputPath): Issue {
  const remedy =
    value === null && path.length > 0
      ? 'Where the key is optional, leave it out instead of sending null.'
      : `Send the type that is named, not ${typeName(value)}.`
  return recordIssue('WRONG_TYPE', path, remedy)
}

function typeName(value: unknown): string {
  if (Array.isArray(value)) return 'an array'
  if (value === null) return 'null'
  if (typeof value === 'object') return 'an object'
  return value === undefined ? 'nothing' : `a ${typeof value}`
}

function unknownKey(path: InputPath, key: string): Issue {
  const at = [...path, key]
  if (isDangerousKey(key)) {
    return recordIssue('DANGEROUS_KEY', at, 'Remove the key.', 'no key that can tamper with objects')
  }
  const place = placeOf(path)
  const { keys } = recordGuide()
  const near = nearestKey(key, keys.get(place) ?? [])
  if (near !== undefined) return unknown(at, `Did you mean \`${near}\`? If not, remove the key.`)
  const elsewhere = homeOf(key, keys)
  if (elsewhere !== undefined) return unknown(at, `Did you mean \`${elsewhere}\`? If not, remove the key.`)
  return unknown(at, 'Remove the key, or correct its spelling.')
}

function unknown(at: InputPath, remedy: string): Issue {
  return recordIssue('UNKNOWN_KEY', at, remedy, 'only the keys of the published schema')
}

/** Where in the record a misplaced key belongs: `restMinutes` in the record itself is `conditions.restMinutes`. */
function homeOf(key: string, keys: ReadonlyMap<string, readonly string[]>): string | undefined {
  for (const [place, allowed] of keys) {
    const home = allowed.find((candidate) => bare(candidate) === bare(key))
    if (home !== undefined) return placeInside(place, home)
  }
  return undefined
}

/** The record's own value at a path; undefined when there is none. */
function valueAt(record: unknown, path: InputPath): unknown {
  let value = record
  for (const step of path) {
    if (typeof value !== 'object' || value === null || !Object.hasOwn(value, step)) return undefined
    value = Reflect.get(value, step)
  }
  return value
}
