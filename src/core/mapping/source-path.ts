import { type JSONValue, jsonpath } from 'json-p3'
import { normalizedSteps } from './normalized-path.ts'
import { pathFault, plainStepsOf } from './path-fault.ts'

/** A compiled path into a source record, or a column of one. */
export interface SourcePath {
  /** As the mapping has it. */
  readonly text: string
  /** `$` from the record, `@` from the item of `each`, or a column of a row. */
  readonly from: '$' | '@' | 'column'
  /** Where it leads, as `Found` has it, when that is known without looking: the path has no filter. */
  readonly place?: string
  /** What stands there in a value: nothing, one value, or where it filters several. Null stands for nothing. */
  find(value: unknown): readonly Found[]
}

/** A value and where it stands below the value that was searched. */
export interface Found {
  readonly value: unknown
  /** Names and positions that lead there. */
  readonly steps: readonly (string | number)[]
  /** The same as an RFC 9535 normalized path without its `$`; of a column its name. */
  readonly place: string
}

/** `one`: names, positions and filters; `list`: wildcards besides, to find the items of a list. */
export type PathUse = 'one' | 'list'

const LONGEST_PATH = 500
const NOTHING: readonly Found[] = []

/**
 * Compiles a path, restricted so that it costs no more than the record is large: no descendants, functions or slices,
 * and wildcards for lists only.
 *
 * @param text RFC 9535 JSONPath, beginning with `@` instead of `$` where it is of an item.
 * @returns the path, or what is expected instead, as a clause.
 */
export function compileSourcePath(text: string, use: PathUse): SourcePath | string {
  const from = text.charAt(0)
  if (from !== '$' && from !== '@')
    return 'a JSONPath that begins with $ (the record) or @ (the item of each)'
  if (text.length > LONGEST_PATH) return `a JSONPath of at most ${LONGEST_PATH} characters`
  const query = compiled(`$${text.slice(1)}`)
  if (query === undefined) return 'a JSONPath as RFC 9535 writes it'
  const fault = pathFault(query, use, from)
  if (fault !== undefined) return fault
  const steps = plainStepsOf(query)
  if (steps === undefined) return { text, from, find: findWith(query) }
  const place = normalizedSteps(steps)
  return { text, from, place, find: findAlong(steps, place) }
}

/** The path to a column. An empty cell holds nothing: CSV has no other way to say so. */
export function columnPath(column: string): SourcePath {
  const steps = [column]
  return {
    text: column,
    from: 'column',
    place: column,
    find: (row) => {
      const value = memberOf(row, column)
      return value === undefined || value === null || value === ''
        ? NOTHING
        : [{ value, steps, place: column }]
    },
  }
}

const environment = new jsonpath.JSONPathEnvironment()

function compiled(text: string): jsonpath.JSONPathQuery | undefined {
  try {
    return environment.compile(text)
  } catch (error) {
    if (error instanceof jsonpath.JSONPathError) return undefined
    throw error
  }
}

function findWith(query: jsonpath.JSONPathQuery): SourcePath['find'] {
  return (value) => {
    const found: Found[] = []
    for (const node of query.query(value as JSONValue).nodes) {
      const { value: there, location: steps } = node
      if (there !== null) found.push({ value: there, steps, place: normalizedSteps(steps) })
    }
    return found
  }
}

/** Most paths are names and positions from the left; walking them needs no library, and the place is known before. */
function findAlong(steps: readonly (string | number)[], place: string): SourcePath['find'] {
  return (value) => {
    let here = value
    for (const step of steps) {
      here = typeof step === 'number' ? itemOf(here, step) : memberOf(here, step)
      if (here === undefined) return NOTHING
    }
    return here === null || here === undefined ? NOTHING : [{ value: here, steps, place }]
  }
}

function itemOf(value: unknown, index: number): unknown {
  return Array.isArray(value) ? value[index] : undefined
}

function memberOf(value: unknown, name: string): unknown {
  if (typeof value !== 'object' || value === null || Array.isArray(value)) return undefined
  return Object.hasOwn(value, name) ? Reflect.get(value, name) : undefined
}
