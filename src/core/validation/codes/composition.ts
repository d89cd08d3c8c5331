import { isJsonObject, type JsonObject, objectsOf } from '../../basics/json-object.ts'
import { type CodeSystemContent, hasCode, isBelowOrSame } from './code-system-content.ts'
import { inAll, inAny, inOneNotOther, type Membership, NOBODY, ofSystem, UNKNOWN } from './membership.ts'

/** What a composition may refer to. */
export interface Known {
  readonly codeSystem: (url: string) => CodeSystemContent | undefined
  readonly valueSet: (canonical: string) => Membership
}

/**
 * What a ValueSet's `compose` holds, or, without one, its `expansion`.
 * Source: FHIR R4 4.0.1 valueset.html, section on composition rules: included are the codes any `include` selects,
 * less those any `exclude` does; within one, everything stated must be met.
 */
export function composition(document: JsonObject, known: Known): Membership {
  const { compose, expansion } = document
  if (isJsonObject(compose)) {
    const included = inAny(objectsOf(compose.include).map((include) => selection(include, known)))
    const excluded = objectsOf(compose.exclude).map((exclude) => selection(exclude, known))
    return excluded.length === 0 ? included : inOneNotOther(included, inAny(excluded))
  }
  return isJsonObject(expansion) ? expanded(expansion) : UNKNOWN
}

function selection(include: JsonObject, known: Known): Membership {
  const sets = Array.isArray(include.valueSet) ? include.valueSet : []
  const conditions = sets.map((set) => (typeof set === 'string' ? known.valueSet(set) : UNKNOWN))
  const { system } = include
  if (typeof system === 'string')
    conditions.push(ofSystem(system, codesOf(include, known.codeSystem(system))))
  return conditions.length === 0 ? UNKNOWN : inAll(conditions)
}

type Codes = (code: string) => boolean | undefined

function codesOf(include: JsonObject, system: CodeSystemContent | undefined): Codes {
  if (Array.isArray(include.concept)) {
    const codes = new Set(objectsOf(include.concept).map(({ code }) => code))
    return (code) => codes.has(code)
  }
  const filters = objectsOf(include.filter).map((filter) => filtered(filter, system))
  if (filters.length === 0) return (code) => hasCode(system, code)
  return (code) => {
    const answers = filters.map((holds) => holds(code))
    return answers.includes(false) ? false : answers.includes(undefined) ? undefined : true
  }
}

/** Filters by hierarchy. Whether another kind holds depends on properties that are not held. */
function filtered({ property, op, value }: JsonObject, system: CodeSystemContent | undefined): Codes {
  if (property !== 'concept' || typeof value !== 'string') return () => undefined
  const below: Codes = (code) => isBelowOrSame(system, code, value)
  switch (op) {
    case 'is-a':
      return below
    case 'descendent-of':
      return (code) => (code === value ? false : below(code))
    case 'is-not-a':
      return (code) => {
        const found = below(code)
        return found === undefined ? undefined : !found && hasCode(system, code)
      }
    default:
      return () => undefined
  }
}

/** An expansion lists its codes, some of them under others; one that is a page of many does not list them all. */
function expanded(expansion: JsonObject): Membership {
  const bySystem = new Map<string, Set<string>>()
  let listed = 0
  const waiting = [...objectsOf(expansion.contains)]
  for (let next = waiting.pop(); next !== undefined; next = waiting.pop()) {
    listed++
    waiting.push(...objectsOf(next.contains))
    if (typeof next.system !== 'string' || typeof next.code !== 'string' || next.abstract === true) continue
    const codes = bySystem.get(next.system) ?? new Set()
    bySystem.set(next.system, codes.add(next.code))
  }
  const isWhole = !(typeof expansion.total === 'number' && expansion.total > listed)
  const sets = [...bySystem].map(([system, codes]) => ofSystem(system, (code) => codes.has(code)))
  return inAny([...sets, isWhole ? NOBODY : UNKNOWN])
}
