import { z } from 'zod'
import { type Issue, inputError } from '../../../core/basics/issue.ts'
import { nearestKey } from '../../../core/json-text/nearest-key.ts'
import { settingsDocument } from '../settings/settings.ts'
import { bare } from './schema-issues.ts'
import type { Environment } from './secrets.ts'

/**
 * Every setting has an environment variable: `HOME_BP_`, then the key in capitals, levels parted by two underscores.
 * `listen.port` is `HOME_BP_LISTEN__PORT`. Lists are given as JSON. The environment wins over the file.
 */
export const ENVIRONMENT_PREFIX = 'HOME_BP_'

interface Variable {
  readonly name: string
  readonly path: readonly string[]
  /** `text` is taken as it is; `json` is read as JSON: `true` or `12` as well as a list. */
  readonly form: 'text' | 'json'
}

/** Every variable the gateway reads, from the schema itself. */
export const ENVIRONMENT_VARIABLES: readonly Variable[] = variablesOf(settingsDocument, [])

export interface EnvironmentReading {
  /** What the variables say, in the shape of a settings file. */
  readonly document: Readonly<Record<string, unknown>>
  readonly issues: readonly Issue[]
  /** The variables that were read. */
  readonly read: readonly Variable[]
}

/**
 * Reads the variables that start with the prefix.
 *
 * @param secretNames variables that the settings name as holders of secrets: they may start with the prefix as well.
 */
export function readEnvironment(
  environment: Environment,
  secretNames: ReadonlySet<string>,
): EnvironmentReading {
  const document: Record<string, unknown> = {}
  const issues: Issue[] = []
  const read: Variable[] = []
  for (const [name, text] of Object.entries(environment)) {
    if (!name.startsWith(ENVIRONMENT_PREFIX) || text === undefined || secretNames.has(name)) continue
    const variable = ENVIRONMENT_VARIABLES.find((one) => one.name === name)
    if (variable === undefined) {
      issues.push(unknownVariable(name))
      continue
    }
    read.push(variable)
    put(document, variable.path, variable.form === 'text' ? text : fromJson(text))
  }
  return { document, issues, read }
}

/**
 * The same issue at the variable that its setting was read from, when it was read from one: `HOME_BP_LISTEN__PORT`, or
 * `HOME_BP_DESTINATIONS[0].url`.
 */
export function atItsVariable(issue: Issue, read: readonly Variable[]): Issue {
  const from = read.find(({ path }) => {
    const key = path.join('.')
    return issue.at.startsWith(key) && /^(?:$|[.[])/.test(issue.at.slice(key.length))
  })
  return from === undefined
    ? issue
    : { ...issue, at: `${from.name}${issue.at.slice(from.path.join('.').length)}` }
}

/**
 * Lays one settings document over another: objects key by key, anything else replaced whole. Where the one below is
 * no object although it should be, it stays, so that the schema refuses it.
 */
export function layOver(below: unknown, above: unknown): unknown {
  if (!isPlainObject(above)) return above
  if (!isPlainObject(below)) return below
  const result: Record<string, unknown> = { ...below }
  for (const [key, value] of Object.entries(above)) {
    result[key] = Object.hasOwn(below, key) ? layOver(below[key], value) : value
  }
  return result
}

function variablesOf(schema: unknown, path: readonly string[]): readonly Variable[] {
  const here = bare(schema)
  if (here instanceof z.ZodObject) {
    return Object.entries(here.shape)
      .filter(([key]) => key !== '$schema')
      .flatMap(([key, inner]) => variablesOf(inner, [...path, key]))
  }
  const isText = here instanceof z.ZodString || here instanceof z.ZodEnum
  return [{ name: variableName(path), path, form: isText ? 'text' : 'json' }]
}

function variableName(path: readonly string[]): string {
  const levels = path.map((key) => key.replaceAll(/([A-Z])/g, '_$1').toUpperCase())
  return `${ENVIRONMENT_PREFIX}${levels.join('__')}`
}

/** Text that is not JSON stays text, and the schema then says what it wanted. */
function fromJson(text: string): unknown {
  try {
    return JSON.parse(text)
  } catch {
    return text
  }
}

function put(document: Record<string, unknown>, path: readonly string[], value: unknown): void {
  const [key, ...rest] = path
  if (key === undefined) return
  if (rest.length === 0) {
    document[key] = value
    return
  }
  const inner = document[key]
  const next: Record<string, unknown> = isPlainObject(inner) ? inner : {}
  document[key] = next
  put(next, rest, value)
}

function isPlainObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value)
}

function unknownVariable(name: string): Issue {
  const known = ENVIRONMENT_VARIABLES.map((one) => one.name.slice(ENVIRONMENT_PREFIX.length))
  const meant = nearestKey(name.slice(ENVIRONMENT_PREFIX.length), known)
  return inputError(
    'structure',
    'UNKNOWN_KEY',
    name,
    `an environment variable the gateway knows, when it starts with ${ENVIRONMENT_PREFIX}`,
    meant === undefined ? 'Unset it.' : `Did you mean ${ENVIRONMENT_PREFIX}${meant}? If not, unset it.`,
  )
}
