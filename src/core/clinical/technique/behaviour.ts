import type { SittingCheck } from '../check.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

export const talking: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.talking === true
    ? techniqueFinding('talking', 'There was talking during the measurement')
    : undefined

export const moving: SittingCheck<TechniqueContext> = ({ conditions }) =>
  conditions.moving === true
    ? techniqueFinding('moving', 'There was movement during the measurement')
    : undefined
