import type { SittingCheck } from '../check.ts'
import type { TechniqueContext } from './technique-context.ts'
import { techniqueFinding } from './technique-finding.ts'

/** The published effect is of clinics; for a kiosk none was found, and the text says where it was measured. */
export const surroundings: SittingCheck<TechniqueContext> = ({ setting }) => {
  if (setting !== 'clinic' && setting !== 'public-kiosk') return undefined
  const place = setting === 'clinic' ? 'in a clinic' : 'at a public kiosk'
  return techniqueFinding('clinic-setting', `It was measured ${place} and not at home`)
}
