import type { ErrorCode } from '../../basics/error-codes.ts'
import type { IssueType } from '../../basics/issue.ts'
import type { JsonObject } from '../../basics/json-object.ts'
import type { ContainedResources } from './contained-resources.ts'

/** Something that must hold for every element of one type, wherever it stands. */
export interface ElementRule {
  /** The key it is published under, or ours. */
  readonly key: string
  /** The type, as the element table names it: `Quantity`, `Timing_Repeat`. */
  readonly on: string
  readonly severity: 'error' | 'warning' | 'information'
  readonly code: ErrorCode
  readonly type: IssueType
  /** What must hold, as a clause that follows "expected". */
  readonly human: string
  readonly remedy: string
  /**
   * Whether it holds. Called for elements of any shape; one of the wrong shape holds, because the walk says so.
   *
   * @param root the resource the element is in; for a contained resource, the one that contains it.
   * @param contained what that one contains.
   */
  readonly holds: (element: JsonObject, root: JsonObject, contained: ContainedResources) => boolean
  /** Name of the child the issue is about, when it is one. */
  readonly child?: string
  /**
   * Where below the element it is broken, when it can be in several places: FHIRPaths such as `interpretation[1]`, one
   * issue for each. Asked only when it does not hold. Overrules `child`.
   */
  readonly where?: (element: JsonObject) => readonly string[]
}
