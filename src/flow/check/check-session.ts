import {
  type AttentionLimits,
  DEFAULT_ATTENTION_LIMITS,
} from '../../core/clinical/attention/attention-limits.ts'
import { sessionAttention } from '../../core/clinical/attention/session-attention.ts'
import type { Finding } from '../../core/clinical/finding.ts'
import { checkPlausibility } from '../../core/clinical/plausibility/check-plausibility.ts'
import type { Session } from '../../core/clinical/session.ts'
import { checkTechnique } from '../../core/clinical/technique/check-technique.ts'

/**
 * Everything noticed about a session by itself: how it was taken, whether it can be true, and what in it calls for
 * attention. What it calls for together with other sessions is looked for where those are known.
 *
 * @param nowMs when the record arrived, epoch ms; a sitting later than that points to a wrong clock.
 */
export function checkSession(
  session: Session,
  person: { readonly armCircumferenceCm?: number } | undefined,
  nowMs: number,
  attention: AttentionLimits = DEFAULT_ATTENTION_LIMITS,
): readonly Finding[] {
  const arm = person?.armCircumferenceCm
  const technique = checkTechnique(session, arm === undefined ? NO_ARM_MEASURED : { armCircumferenceCm: arm })
  const plausibility = checkPlausibility(session, { nowMs })
  const calls = sessionAttention(session, attention)
  return joined(joined(technique, plausibility), calls)
}

/** Most sessions have nothing in one list or the other, and then no new one is made. */
function joined(first: readonly Finding[], second: readonly Finding[]): readonly Finding[] {
  if (second.length === 0) return first
  return first.length === 0 ? second : [...first, ...second]
}

const NO_ARM_MEASURED = {}
