import { type JsonSchema, sessionRecordJsonSchema } from '../record/session-record-json-schema.ts'

/** A place of the native record that a rule can fill. */
export interface Target {
  /** Dotted, from the record or from the reading: `device.serial`, `monitorSays.bodyMovement`. */
  readonly place: string
  readonly kind: 'text' | 'word' | 'number' | 'flag' | 'time'
  /** Of a word: the ones that exist. */
  readonly words: readonly string[]
  /** Whether null can be meant there. */
  readonly nullable: boolean
  /** What the published schema says of it. */
  readonly description: string
}

/** Every place a rule can fill, by its dotted name. The list is closed, and made from the native record's own schema. */
export interface Targets {
  readonly session: ReadonlyMap<string, Target>
  readonly reading: ReadonlyMap<string, Target>
}

/** Made when the first mapping is read. */
export function targets(): Targets {
  made ??= targetsOf(sessionRecordJsonSchema())
  return made
}

let made: Targets | undefined

function targetsOf(schema: JsonSchema): Targets {
  const { readings, ...session } = schema.properties ?? {}
  return { session: leavesOf(session, ''), reading: leavesOf(readings?.items?.properties ?? {}, '') }
}

function leavesOf(properties: Readonly<Record<string, JsonSchema>>, within: string): Map<string, Target> {
  const leaves = new Map<string, Target>()
  for (const [key, schema] of Object.entries(properties)) {
    const place = within === '' ? key : `${within}.${key}`
    if (schema.properties === undefined) leaves.set(place, targetOf(place, schema))
    else for (const [inner, target] of leavesOf(schema.properties, place)) leaves.set(inner, target)
  }
  return leaves
}

/** Places that hold a time; to the schema they are texts. */
const TIMES: ReadonlySet<string> = new Set(['takenAt', 'sleep.from', 'sleep.to'])

function targetOf(place: string, schema: JsonSchema): Target {
  const alternatives = Array.isArray(schema.anyOf) ? (schema.anyOf as readonly JsonSchema[]) : [schema]
  const types = alternatives.flatMap(({ type }) => type)
  return {
    place,
    kind: kindOf(place, schema, types),
    words: Array.isArray(schema.enum) ? schema.enum.map(String) : [],
    nullable: types.includes('null'),
    description: schema.description ?? '',
  }
}

function kindOf(place: string, schema: JsonSchema, types: readonly unknown[]): Target['kind'] {
  if (TIMES.has(place)) return 'time'
  if (schema.enum !== undefined) return 'word'
  if (types.includes('boolean')) return 'flag'
  return types.includes('number') || types.includes('integer') ? 'number' : 'text'
}
