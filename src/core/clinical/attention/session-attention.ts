import { type Finding, NO_FINDINGS } from '../finding.ts'
import type { Session } from '../session.ts'
import { attentionFinding } from './attention-finding.ts'
import type { AttentionLimits } from './attention-limits.ts'
import { isVeryHigh, isVeryLow, pairText } from './pair-limit.ts'

/**
 * The readings of one sitting that are very high or very low, each by itself, in order. Both can hold for one reading.
 *
 * Of a 24-hour recording only very high ones: pressures fall in sleep, and the limit for low ones is drawn for people
 * awake. Runs for every session received, so nothing is allocated when there is nothing to call for.
 */
export function sessionAttention(session: Session, { high, low }: AttentionLimits): readonly Finding[] {
  const awake = session.setting !== 'ambulatory'
  let found: Finding[] | undefined
  for (const reading of session.readings) {
    const { ordinal } = reading
    if (isVeryHigh(reading, high)) {
      const seen = `Reading ${ordinal} is at or above ${pairText(high)}`
      found ??= []
      found.push(attentionFinding({ code: 'very-high', seen, citation: high.citation, reading: ordinal }))
    }
    if (awake && isVeryLow(reading, low)) {
      const seen = `Reading ${ordinal} is below ${pairText(low)}`
      found ??= []
      found.push(attentionFinding({ code: 'very-low', seen, citation: low.citation, reading: ordinal }))
    }
  }
  return found ?? NO_FINDINGS
}
