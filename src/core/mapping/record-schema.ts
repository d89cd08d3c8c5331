import { Ajv2020, type ErrorObject } from 'ajv/dist/2020.js'
import { isJsonObject, type JsonObject } from '../basics/json-object.ts'
import type { DocumentFile } from './document-faults.ts'
import { schemaFaults } from './schema-faults.ts'

/** What a record breaks of its schema. */
export interface SchemaBreach {
  /** Names and positions that lead there from the record. */
  readonly steps: readonly (string | number)[]
  /** What the schema wants there, as a clause; never the value. */
  readonly expected: string
}

/** Judges records by a JSON Schema; empty when the record fits. */
export type RecordSchema = (record: unknown) => readonly SchemaBreach[]

/** Breaches told of one record. */
const MOST_BREACHES = 20

/**
 * Compiles a record schema, JSON Schema draft 2020-12. It is closed: nothing is fetched, and keywords that could make
 * judging a record costly (`pattern`, `uniqueItems`, definitions that lead back to themselves) are refused. `format` is
 * an annotation, as the draft has it: times are judged by the rules.
 *
 * @returns undefined when it cannot be used, which is noted in the file.
 */
export function compileRecordSchema(file: DocumentFile): RecordSchema | undefined {
  if (!file.isSound) return undefined
  if (!isJsonObject(file.value)) {
    file.add([], 'a JSON Schema object')
    return undefined
  }
  for (const { path, expected } of schemaFaults(file.value)) file.add(path, expected)
  return file.isSound ? judgeBy(file.value, file) : undefined
}

function judgeBy(schema: JsonObject, file: DocumentFile): RecordSchema | undefined {
  const ajv = new Ajv2020({
    allErrors: true,
    strict: true,
    strictRequired: false,
    strictTypes: false,
    ownProperties: true,
    validateFormats: false,
  })
  if (ajv.validateSchema(schema) !== true) {
    for (const error of ajv.errors ?? []) file.add(stepsOf(error.instancePath), expectedBy(error))
    return undefined
  }
  const validate = ajv.compile(schema)
  return (record) => (validate(record) ? FITS : breachesOf(record, validate.errors ?? []))
}

const FITS: readonly SchemaBreach[] = []

/** One breach for each place. What each branch of `oneOf` or `anyOf` wanted is told together, where they branch. */
function breachesOf(record: unknown, errors: readonly ErrorObject[]): readonly SchemaBreach[] {
  const forks = errors.filter(({ keyword }) => keyword === 'oneOf' || keyword === 'anyOf')
  const breaches = new Map<string, SchemaBreach>()
  for (const error of errors) {
    if (breaches.size === MOST_BREACHES) break
    // Where `then` or `else` does not hold, what it wanted is told by errors of its own.
    if (error.keyword === 'if' || forks.some((fork) => isBranchOf(error, fork))) continue
    const steps = [...stepsOf(error.instancePath), ...missingStep(error)]
    const place = steps.join('/')
    if (breaches.has(place)) continue
    const expected = forks.includes(error) ? expectedAtFork(error, errors) : expectedBy(error)
    breaches.set(place, { steps: withPositions(record, steps), expected })
  }
  return [...breaches.values()]
}

function isBranchOf({ schemaPath }: ErrorObject, fork: ErrorObject): boolean {
  return schemaPath.startsWith(`${fork.schemaPath}/`)
}

function expectedAtFork(fork: ErrorObject, errors: readonly ErrorObject[]): string {
  const how = fork.keyword === 'oneOf' ? 'exactly one' : 'one'
  const missing = errors.filter((error) => isBranchOf(error, fork) && error.keyword === 'required')
  const names = new Set(missing.map(({ params }) => String(params.missingProperty)))
  return `${how} of the shapes the format allows${names.size === 0 ? '' : `, such as one with ${[...names].join(', ')}`}`
}

function missingStep({ keyword, params }: ErrorObject): readonly string[] {
  if (keyword === 'required') return [String(params.missingProperty)]
  return keyword === 'additionalProperties' ? [String(params.additionalProperty)] : []
}

function expectedBy({ keyword, params, message }: ErrorObject): string {
  switch (keyword) {
    case 'required':
      return 'a value, which the format requires'
    case 'additionalProperties':
      return 'no such key'
    case 'type':
      return `a value of type ${String(params.type).replaceAll(',', ' or ')}`
    case 'enum':
      return `one of ${JSON.stringify(params.allowedValues).slice(1, -1)}`
    case 'const':
      return JSON.stringify(params.allowedValue)
    default:
      return `a value that ${message ?? 'fits the schema'}`
  }
}

/** Steps of a JSON pointer. Source: RFC 6901 section 4. */
function stepsOf(pointer: string): readonly string[] {
  return pointer
    .split('/')
    .slice(1)
    .map((step) => step.replaceAll('~1', '/').replaceAll('~0', '~'))
}

/** A step of digits is a position where the record has an array there, and a name otherwise. */
function withPositions(record: unknown, steps: readonly string[]): readonly (string | number)[] {
  let here = record
  return steps.map((step) => {
    const inside = here
    here = typeof inside === 'object' && inside !== null ? Reflect.get(inside, step) : undefined
    return Array.isArray(inside) ? Number(step) : step
  })
}
