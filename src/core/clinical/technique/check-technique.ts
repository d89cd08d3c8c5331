import { runChecks } from '../check.ts'
import type { Finding } from '../finding.ts'
import type { Session } from '../session.ts'
import { moving, talking } from './behaviour.ts'
import { seated, site } from './body-position.ts'
import { alcohol, bladder, caffeine, cold, exercise, meal, medication, nicotine, pain } from './body-state.ts'
import { clothing, cuffEdge, cuffSize, cuffTightness } from './cuff-fit.ts'
import { cuffHeight } from './cuff-height.ts'
import { gap } from './gap.ts'
import { bodyMovement, cuffTooLoose, improperPosition, irregularPulse } from './monitor-status.ts'
import { rest } from './rest.ts'
import { armSupport, backSupport, feet, legs } from './support.ts'
import { surroundings } from './surroundings.ts'
import type { TechniqueContext } from './technique-context.ts'

/**
 * Was it measured well? Every departure from good technique that the record reports, with the direction and the
 * published size of its effect. Nothing is corrected by it, and an answer that is absent is no finding.
 *
 * Findings about the sitting come first, then those of each reading in order.
 *
 * Of a 24-hour recording only what lasts through it is checked: where the cuff was and how it fitted, and what the
 * recorder said of each reading. How the person rested, sat, held the arm, talked or felt, and what they had taken, is
 * an answer about one moment; the recorder sets its own gaps.
 */
export function checkTechnique(session: Session, context: TechniqueContext): readonly Finding[] {
  return session.setting === 'ambulatory'
    ? runChecks(session, context, CUFF_CHECKS, MONITOR_CHECKS)
    : runChecks(session, context, SITTING_CHECKS, READING_CHECKS)
}

const CUFF_CHECKS = [site, cuffSize, clothing, cuffEdge, cuffTightness]

const MONITOR_CHECKS = [bodyMovement, cuffTooLoose, irregularPulse, improperPosition]

const SITTING_CHECKS = [
  surroundings,
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
  cold,
  caffeine,
  nicotine,
  alcohol,
  exercise,
  meal,
  medication,
]

const READING_CHECKS = [gap, ...MONITOR_CHECKS]
