import type { Finding } from '../core/clinical/finding.ts'
import { checkPlausibility } from '../core/clinical/plausibility/check-plausibility.ts'
import type { Session } from '../core/clinical/session.ts'
import { checkTechnique } from '../core/clinical/technique/check-technique.ts'

/**
 * Everything noticed about a session: how it was taken, then whether it can be true.
 *
 * @param nowMs when the record arrived, epoch ms; a sitting later than that points to a wrong clock.
 */
export function checkSession(
  session: Session,
  person: { readonly armCircumferenceCm?: number } | undefined,
  nowMs: number,
): readonly Finding[] {
  const arm = person?.armCircumferenceCm
  const technique = checkTechnique(session, arm === undefined ? NO_ARM_MEASURED : { armCircumferenceCm: arm })
  const plausibility = checkPlausibility(session, { nowMs })
  if (plausibility.length === 0) return technique
  if (technique.length === 0) return plausibility
  return [...technique, ...plausibility]
}

const NO_ARM_MEASURED = {}
