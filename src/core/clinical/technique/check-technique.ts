import { runChecks } from '../check.ts'
import type { Finding } from '../finding.ts'
import type { Session } from '../session.ts'
import { moving, talking } from './behaviour.ts'
import { seated, site } from './body-position.ts'
import { alcohol, bladder, caffeine, exercise, meal, nicotine, pain } from './body-state.ts'
import { clothing, cuffEdge, cuffSize, cuffTightness } from './cuff-fit.ts'
import { cuffHeight } from './cuff-height.ts'
import { gap } from './gap.ts'
import { bodyMovement, cuffTooLoose, improperPosition, irregularPulse } from './monitor-status.ts'
import { rest } from './rest.ts'
import { armSupport, backSupport, feet, legs } from './support.ts'
import type { TechniqueContext } from './technique-context.ts'

/**
 * Was it measured well? Every departure from good technique that the record reports, with the direction and the
 * published size of its effect. Nothing is corrected by it, and an answer that is absent is no finding.
 *
 * Findings about the sitting come first, then those of each reading in order.
 */
export function checkTechnique(session: Session, context: TechniqueContext): readonly Finding[] {
  return runChecks(session, context, SITTING_CHECKS, READING_CHECKS)
}

const SITTING_CHECKS = [
  seated,
  site,
  rest,
  backSupport,
  feet,
  legs,
  armSupport,
  cuffHeight,
  cuffSize,
  clothing,
  cuffEdge,
  cuffTightness,
  talking,
  moving,
  bladder,
  pain,
  caffeine,
  nicotine,
  alcohol,
  exercise,
  meal,
]

const READING_CHECKS = [gap, bodyMovement, cuffTooLoose, irregularPulse, improperPosition]
