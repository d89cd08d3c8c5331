import type { ReadingCheck } from '../check.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

/** Seconds from one reading to the next. Source: NICE NG136 recommendation 1.2.7 and ACC/AHA 2017, one minute. */
const LEAST_GAP_SECONDS = 60

/**
 * By the readings' own times; where either has none, or times are those of receipt, the gap is unknown. Times that run
 * backwards are not a gap.
 */
export const gap: ReadingCheck<TechniqueContext> = (reading, earlier, { timeFrom }) => {
  if (timeFrom === 'receipt') return undefined
  if (earlier?.takenAt === undefined || reading.takenAt === undefined) return undefined
  const gapMs = reading.takenAt.epochMs - earlier.takenAt.epochMs
  if (gapMs < 0 || gapMs >= LEAST_GAP_SECONDS * 1000) return undefined
  return techniqueFinding(
    'gap-too-short',
    `Reading ${reading.ordinal} came ${Math.floor(gapMs / 1000)} s after reading ${earlier.ordinal}`,
    reading.ordinal,
  )
}
