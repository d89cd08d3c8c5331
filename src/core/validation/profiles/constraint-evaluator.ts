import type { JsonObject } from '../../basics/json-object.ts'

/**
 * Judges FHIRPath constraints that have no code of ours. Handed in, so that the engine is loaded only where it is wanted.
 */
export interface ConstraintEvaluator {
  /**
   * Whether a constraint holds for one element. Undefined when it cannot be judged: an expression the engine does not
   * know, a resource too large to evaluate in bounded time, an answer that is no boolean. Never throws.
   *
   * @param element the value under the constraint, as it stands in the resource; the resource itself when it is on the root.
   * @param path where that value stands, by types and properties from the resource: `Observation.component`.
   */
  readonly evaluate: (
    expression: string,
    resource: JsonObject,
    element: unknown,
    path: string,
  ) => boolean | undefined
}
