import { createRequire } from 'node:module'
import type fhirpath from 'fhirpath'
import type { Model } from 'fhirpath'
import type { JsonObject } from '../../../core/basics/json-object.ts'
import type { ConstraintEvaluator } from '../../../core/validation/profiles/constraint-evaluator.ts'

/**
 * Judges the FHIRPath constraints of profiles by the engine of HL7, `fhirpath`, with its model of R4. The engine is
 * loaded when a constraint first needs it: most resources need none.
 *
 * An expression cannot be stopped once it runs, so a resource of more than `MOST_VALUES` values is not judged by it, and
 * of a resource with many elements only the first `MOST_EVALUATIONS` are.
 */
export const FHIRPATH_EVALUATOR: ConstraintEvaluator = {
  evaluate(expression, resource, element, path) {
    const evaluate = compiled(expression, path)
    if (evaluate === undefined || !spendOne(resource)) return undefined
    try {
      const result = evaluate(element, { resource, rootResource: resource })
      // A single value that is no boolean counts as true. Source: FHIRPath 2.0, 4.5. No answer is taken for false, as
      // HL7's reference validator does: a constraint holds when its answer is true.
      return result.length > 1 ? undefined : result.length === 1 && result[0] !== false
    } catch {
      // It throws for what it does not know, such as memberOf(), and for values whose type the structure layer reports.
      return undefined
    }
  },
}

/** An Observation of a whole day has some 3,000. */
const MOST_VALUES = 20_000

/** Constraints evaluated on one resource, of all its elements together. */
const MOST_EVALUATIONS = 2_000

const left = new WeakMap<JsonObject, number>()

/** Whether one more constraint may be evaluated on the resource. */
function spendOne(resource: JsonObject): boolean {
  const before = left.get(resource) ?? (isSmall(resource) ? MOST_EVALUATIONS : 0)
  left.set(resource, Math.max(0, before - 1))
  return before > 0
}

function isSmall(resource: unknown): boolean {
  const waiting: unknown[] = [resource]
  for (let seen = 0; waiting.length > 0; seen++) {
    if (seen > MOST_VALUES) return false
    const value = waiting.pop()
    if (typeof value !== 'object' || value === null) continue
    for (const inner of Object.values(value)) waiting.push(inner)
  }
  return true
}

type Compiled = (element: unknown, environment: Record<string, unknown>) => readonly unknown[]

/** By path and expression; undefined for what is no FHIRPath. */
const known = new Map<string, Compiled | undefined>()
/** Expressions come from the profiles of a deployment, so there are few; beyond this the oldest give way. */
const MOST_EXPRESSIONS = 500

function compiled(expression: string, base: string): Compiled | undefined {
  const key = `${base} ${expression}`
  if (known.has(key)) return known.get(key)
  const [oldest] = known.size < MOST_EXPRESSIONS ? [] : known.keys()
  if (oldest !== undefined) known.delete(oldest)
  const made = compile(expression, base)
  known.set(key, made)
  return made
}

/** What `trace()` would print is health data: it goes nowhere. */
const SILENT = { async: false, traceFn: () => undefined } as const

function compile(expression: string, base: string): Compiled | undefined {
  const engine: typeof fhirpath = require('fhirpath')
  const model: Model = require('fhirpath/fhir-context/r4')
  try {
    return engine.compile({ base, expression }, model, SILENT)
  } catch {
    return undefined
  }
}

const require = createRequire(import.meta.url)
