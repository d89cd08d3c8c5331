import type { z } from 'zod'
import { isJsonObject } from '../basics/json-object.ts'

/**
 * Takes a copy of a value that is certain to fit, its keys in the order of the schema, as the schema itself would; for
 * every other value it answers `DOUBTFUL`, and the schema is to be asked.
 */
export type QuickLook = (value: unknown) => unknown

export const DOUBTFUL = Symbol('doubtful')

/**
 * Makes the quick look of a schema. Kept records are read again for each delivery and each average, and nearly all of
 * them fit: a look that can say only yes costs much less than one that can tell everything that is wrong.
 *
 * @throws TypeError for a schema of parts it does not know, so that none is passed over.
 */
export function quickLook(schema: z.core.$ZodType): QuickLook {
  const { def } = (schema as z.core.$ZodTypes)._zod
  const { checks = [] } = def
  if ('coerce' in def && def.coerce === true)
    throw new TypeError('no quick look at what is made into another value')
  switch (def.type) {
    case 'array':
      return arrayLook(quickLook(def.element), checks)
    case 'string':
      return textLook(checks, formatOf(def))
    case 'number':
      return numberLook(checks, formatOf(def))
  }
  for (const { _zod } of checks) throw unknownCheck(_zod.def.check)
  switch (def.type) {
    case 'object':
      return objectLook(def)
    case 'nullable': {
      const inner = quickLook(def.innerType)
      return (value) => (value === null ? null : inner(value))
    }
    case 'enum':
      return wordLook(Object.values(def.entries))
    case 'boolean':
      return (value) => (typeof value === 'boolean' ? value : DOUBTFUL)
    default:
      throw new TypeError(`no quick look at a schema of type ${def.type}`)
  }
}

/** The format that a schema of its own kind has, such as that of an email address or of whole numbers. */
function formatOf(def: object): string | undefined {
  return 'format' in def ? String(def.format) : undefined
}

interface Member {
  readonly key: string
  readonly look: QuickLook
  readonly isOptional: boolean
}

function objectLook({ shape, catchall }: z.core.$ZodObjectDef): QuickLook {
  if (catchall?._zod.def.type !== 'never') throw new TypeError('no quick look at an object that is open')
  const members = Object.entries(shape).map(([key, schema]) => memberOf(key, schema))
  return (value) => {
    if (!isJsonObject(value)) return DOUBTFUL
    const taken: Record<string, unknown> = {}
    let known = 0
    for (let i = 0; i < members.length; i++) {
      const { key, look, isOptional } = members[i] as Member
      const inner = value[key]
      if (inner === undefined) {
        if (isOptional) continue
        return DOUBTFUL
      }
      const copy = look(inner)
      if (copy === DOUBTFUL) return DOUBTFUL
      taken[key] = copy
      known++
    }
    for (const _ in value) known--
    return known === 0 ? taken : DOUBTFUL
  }
}

function memberOf(key: string, schema: z.core.$ZodType): Member {
  const { def } = (schema as z.core.$ZodTypes)._zod
  return def.type === 'optional'
    ? { key, look: quickLook(def.innerType), isOptional: true }
    : { key, look: quickLook(schema), isOptional: false }
}

function arrayLook(look: QuickLook, checks: readonly z.core.$ZodCheck[]): QuickLook {
  let least = 0
  let most = Number.POSITIVE_INFINITY
  for (const { _zod } of checks as readonly z.core.$ZodChecks[]) {
    const { def } = _zod
    if (def.check === 'min_length') least = Math.max(least, def.minimum)
    else if (def.check === 'max_length') most = Math.min(most, def.maximum)
    else throw unknownCheck(def.check)
  }
  return (value) => {
    if (!Array.isArray(value) || value.length < least || value.length > most) return DOUBTFUL
    const taken: unknown[] = []
    for (let i = 0; i < value.length; i++) {
      const copy = look(value[i])
      if (copy === DOUBTFUL) return DOUBTFUL
      taken.push(copy)
    }
    return taken
  }
}

function wordLook(words: readonly (string | number)[]): QuickLook {
  return (value) => (words.includes(value as string) ? value : DOUBTFUL)
}

function textLook(checks: readonly z.core.$ZodCheck[], format: string | undefined): QuickLook {
  if (format !== undefined) throw unknownCheck(format)
  let most = Number.POSITIVE_INFINITY
  const patterns: RegExp[] = []
  for (const { _zod } of checks as readonly z.core.$ZodChecks[]) {
    const { def } = _zod
    if (def.check === 'max_length') most = Math.min(most, def.maximum)
    else if (def.check === 'string_format' && def.format === 'regex') patterns.push(def.pattern as RegExp)
    else throw unknownCheck(def.check)
  }
  return (value) => {
    if (typeof value !== 'string' || value.length > most) return DOUBTFUL
    return patterns.every((pattern) => pattern.test(value)) ? value : DOUBTFUL
  }
}

function numberLook(checks: readonly z.core.$ZodCheck[], format: string | undefined): QuickLook {
  if (format !== undefined && format !== 'safeint') throw unknownCheck(format)
  const isRight = format === undefined ? Number.isFinite : Number.isSafeInteger
  let least = Number.NEGATIVE_INFINITY
  let most = Number.POSITIVE_INFINITY
  for (const { _zod } of checks as readonly z.core.$ZodChecks[]) {
    const { def } = _zod
    if (def.check === 'greater_than' && def.inclusive) least = Math.max(least, Number(def.value))
    else if (def.check === 'less_than' && def.inclusive) most = Math.min(most, Number(def.value))
    else throw unknownCheck(def.check)
  }
  return (value) =>
    isRight(value) && (value as number) >= least && (value as number) <= most ? value : DOUBTFUL
}

function unknownCheck(check: string): TypeError {
  return new TypeError(`no quick look at the check ${check}`)
}
