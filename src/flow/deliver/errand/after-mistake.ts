import { movedBundle } from '../../../core/fhir/moved-bundle.ts'
import type { Errand } from './course.ts'
import { sealedAnew } from './sealed-anew.ts'

/**
 * A delivery as it is brought where the server turned out to put things into other records than those that a conditional
 * reference asks for, or to take others for what a condition asks for. What may have been sent by one is brought over to
 * what it belongs to, and made where it is not there; what is queued since goes as it is.
 */
export function afterMistake(errand: Errand): Errand {
  const { entry, rendered, route, uncertain } = errand
  const { references, conditions } = route
  if (rendered.lookedFor === true) return errand
  const isMisled = references?.seen === 'passed-over' || conditions?.seen === 'passed-over'
  const byMs = references?.misplaced?.byMs
  const isBefore = byMs !== undefined && entry.queuedMs <= byMs
  return isBefore || (isMisled && uncertain) ? broughtOver(errand) : errand
}

/** What may be there with references that lead elsewhere is looked for, and put right. */
export function broughtOver(errand: Errand): Errand {
  const { entry, rendered } = errand
  return { ...errand, uncertain: true, rendered: sealedAnew(rendered, movedBundle(rendered.bundle), entry) }
}
