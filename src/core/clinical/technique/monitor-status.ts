import type { ReadingCheck } from '../check.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

/** What the monitor itself reported, passed on as it said it. Source: ISO/IEEE 11073-10407, measurement status. */
export const bodyMovement: ReadingCheck<TechniqueContext> = ({ monitorSays, ordinal }) =>
  monitorSays?.bodyMovement === true
    ? techniqueFinding('monitor-body-movement', 'The monitor reported body movement', ordinal)
    : undefined

export const cuffTooLoose: ReadingCheck<TechniqueContext> = ({ monitorSays, ordinal }) =>
  monitorSays?.cuffTooLoose === true
    ? techniqueFinding('monitor-cuff-too-loose', 'The monitor reported a cuff that was too loose', ordinal)
    : undefined

export const irregularPulse: ReadingCheck<TechniqueContext> = ({ monitorSays, ordinal }) =>
  monitorSays?.irregularPulse === true
    ? techniqueFinding('monitor-irregular-pulse', 'The monitor reported an irregular pulse', ordinal)
    : undefined

export const improperPosition: ReadingCheck<TechniqueContext> = ({ monitorSays, ordinal }) =>
  monitorSays?.improperPosition === true
    ? techniqueFinding('monitor-improper-position', 'The monitor reported an improper position', ordinal)
    : undefined
