import type { SittingCheck } from '../check.ts'
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

export const armSupport: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.armSupported === false
    ? techniqueFinding('arm-unsupported', 'The arm was not supported')
    : undefined
