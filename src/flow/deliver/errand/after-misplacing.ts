import { outlineOf } from '../../../core/exchange/asked/bundle-outline.ts'
import { movedBundle } from '../../../core/fhir/moved-bundle.ts'
import { sealedBundle } from '../../render/sealed-bundle.ts'
import type { Errand } from './course.ts'

/**
 * A delivery as it is brought where the server turned out to put things into other records than those that a conditional
 * reference asks for. What may have been sent by one is brought over to the patient, and made where it is not there; what
 * is queued since goes as it is.
 */
export function afterMisplacing(errand: Errand): Errand {
  const { entry, rendered, route, uncertain } = errand
  const { seen, misplaced } = route.references ?? {}
  if (seen !== 'passed-over' || rendered.lookedFor === true) return errand
  const isBefore = misplaced !== undefined && entry.queuedMs <= misplaced.byMs
  return uncertain || isBefore ? broughtOver(errand) : errand
}

/** What may stand in another record, or in none, is looked for, and put into the patient's. */
export function broughtOver(errand: Errand): Errand {
  const { entry, rendered } = errand
  const bundle = movedBundle(rendered.bundle)
  const text = sealedBundle(bundle, `${entry.kind} ${entry.about}`)
  return { ...errand, uncertain: true, rendered: { ...rendered, bundle, text, outline: outlineOf(bundle) } }
}
