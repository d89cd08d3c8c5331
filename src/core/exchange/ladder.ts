import type { Rung } from '../registry/rung.ts'
import type { Route } from './route.ts'

/** Which rung a destination is served on. */
export interface RungChoice {
  /** Absent when there is none that could work: the operator has to name one, or the server to be mended. */
  readonly rung?: Rung
  /** Whether resources can be looked for by our identifier: after an outcome nobody heard, and before another rung is used. */
  readonly canLook: boolean
  /** Why this one and none above it, one sentence for each rung that was passed over and one for the chosen. No health data. */
  readonly because: readonly string[]
}

/**
 * Chooses the highest rung that the server's statement, the probe and what turned out since allow; the operator's word
 * stands over all of them.
 *
 * | rung | needs for Observation |
 * | --- | --- |
 * | transaction | `transaction` stated and not probed as `not-atomic` or `refused`, and `conditionalCreate` |
 * | conditional-create | `create` and `conditionalCreate` |
 * | own-id | `update` and `updateCreate` |
 * | search-first | `create` and `search-type` with the parameter `identifier` |
 * | create-only | `create` |
 *
 * A server that gives no statement is trusted with nothing that rests on it: it is served `search-first`, where every
 * answer is checked against what was asked.
 */
export function chooseRung(_route: Route, _operatorSays: Rung | undefined): RungChoice {
  throw new Error('to be written')
}
