import type { SittingCheck } from '../check.ts'
import { HANGING_EFFECT, LAP_EFFECT } from './effects.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

export const backSupport: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.backSupported === false
    ? techniqueFinding('back-unsupported', 'The back was not supported')
    : undefined

export const feet: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.feetFlat === false
    ? techniqueFinding('feet-not-flat', 'The feet were not flat on the floor')
    : undefined

export const legs: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.legsCrossed === true ? techniqueFinding('legs-crossed', 'The legs were crossed') : undefined

/** Where the arm lay says more than whether it was supported, and each place has a figure of its own. */
export const armSupport: SittingCheck<TechniqueContext> = ({ conditions }) => {
  switch (conditions.armRest) {
    case 'lap':
      return techniqueFinding('arm-unsupported', 'The arm lay on the lap', undefined, LAP_EFFECT)
    case 'hanging':
      return techniqueFinding('arm-unsupported', 'The arm hung at the side', undefined, HANGING_EFFECT)
    case 'surface':
      return undefined
    default:
      return conditions.armSupported === false
        ? techniqueFinding('arm-unsupported', 'The arm was not supported')
        : undefined
  }
}
