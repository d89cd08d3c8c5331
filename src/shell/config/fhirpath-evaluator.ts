import { createRequire } from 'node:module'
import type fhirpath from 'fhirpath'
import type { Model } from 'fhirpath'
import type { JsonObject } from '../../core/validation/json-object.ts'
import type { ConstraintEvaluator } from '../../core/validation/profiles/constraint-evaluator.ts'

/** Objects and lists a resource may have for its constraints to be evaluated; a bundle of some 1,000 readings. */
const MOST_NODES = 50_000

/** Constraints evaluated on one resource, of all its elements together. */
const MOST_EVALUATIONS = 2_000

type Evaluate = (element: unknown, environment: Readonly<Record<string, unknown>>) => readonly unknown[]

/**
 * Evaluates constraints of profiles by the fhirpath package. It is loaded when the first one comes, since loading takes
 * longer than starting does without it.
 *
 * A constraint holds when its answer is true. No answer is taken for false, as HL7’s reference validator does; one that
 * is no boolean, or an expression that needs what is not here (`resolve()`, `memberOf()`), cannot be judged.
 */
export function fhirpathEvaluator(): ConstraintEvaluator {
  const compiled = new Map<string, Evaluate | undefined>()
  const budgets = new WeakMap<JsonObject, { left: number }>()

  return {
    evaluate(expression, resource, element, path) {
      const key = `${path} ${expression}`
      if (!compiled.has(key)) compiled.set(key, compile(expression, path))
      const evaluate = compiled.get(key)
      if (evaluate === undefined) return undefined
      const budget = budgets.get(resource) ?? { left: isSmall(resource) ? MOST_EVALUATIONS : 0 }
      budgets.set(resource, budget)
      if (budget.left === 0) return undefined
      budget.left -= 1
      return answerOf(evaluate, element, resource)
    },
  }
}

function answerOf(evaluate: Evaluate, element: unknown, resource: JsonObject): boolean | undefined {
  let answers: readonly unknown[]
  try {
    answers = evaluate(element, { resource, rootResource: resource, ucum: 'http://unitsofmeasure.org' })
  } catch {
    // The engine throws for what it does not know and for values of the wrong type, which the structure layer reports.
    return undefined
  }
  const [answer, ...more] = answers
  if (more.length > 0) return undefined
  if (answer === undefined) return false
  return typeof answer === 'boolean' ? answer : undefined
}

function compile(expression: string, base: string): Evaluate | undefined {
  const { compile: compileExpression, model } = engine()
  try {
    return compileExpression({ base, expression }, model, { async: false, traceFn: () => undefined })
  } catch {
    return undefined
  }
}

interface Engine {
  readonly compile: typeof fhirpath.compile
  readonly model: Model
}

let loaded: Engine | undefined

function engine(): Engine {
  if (loaded === undefined) {
    const require = createRequire(import.meta.url)
    loaded = { compile: require('fhirpath').compile, model: require('fhirpath/fhir-context/r4') }
  }
  return loaded
}

/** Whether a resource has few enough objects and lists; stops counting where it has not. */
function isSmall(resource: JsonObject): boolean {
  let nodes = 0
  const open: unknown[] = [resource]
  while (open.length > 0) {
    const value = open.pop()
    if (typeof value !== 'object' || value === null) continue
    nodes += 1
    if (nodes > MOST_NODES) return false
    for (const inner of Object.values(value)) open.push(inner)
  }
  return true
}
