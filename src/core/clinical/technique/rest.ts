import type { SittingCheck } from '../check.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

/** Minutes of sitting still before the first reading. Source: ACC/AHA 2017, home measurement table. */
const LEAST_REST_MINUTES = 5

export const rest: SittingCheck<TechniqueContext> = (session) => {
  const minutes = session.conditions.restMinutes
  if (minutes === undefined || minutes >= LEAST_REST_MINUTES) return undefined
  return techniqueFinding(
    'rest-too-short',
    `Rest before the first reading was ${minutes} min instead of at least ${LEAST_REST_MINUTES}`,
  )
}
