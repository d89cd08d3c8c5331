import type { ReadingCheck } from '../check.ts'
import { PLAUSIBLE } from './limits.ts'
import type { PlausibilityContext } from './plausibility-context.ts'
import { plausibilityFinding } from './plausibility-finding.ts'

export const pulseRange: ReadingCheck<PlausibilityContext> = ({ pulse, ordinal }) => {
  const [least, most] = PLAUSIBLE.pulse
  if (pulse === undefined || (pulse >= least && pulse <= most)) return undefined
  return plausibilityFinding(
    'pulse-doubtful',
    `The pulse of reading ${ordinal} is outside ${least} to ${most} beats per minute; it is kept as measured and marked, and should be checked at the source.`,
    ordinal,
  )
}
