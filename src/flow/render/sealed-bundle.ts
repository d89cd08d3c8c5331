import type { Bundle } from 'fhir/r4.js'
import { writeJson } from '../../core/basics/write-json.ts'
import { errorsIn } from '../../core/validation/validate-resource.ts'
import { OwnFault } from '../ports/own-fault.ts'

/**
 * A bundle as it leaves the house: validated in full, then written as JSON text.
 *
 * @param what it is, for the operator: its kind and UUID, nothing of its content.
 * @throws OwnFault when the bundle breaks a rule; it must not be sent then.
 */
export function sealedBundle(bundle: Bundle, what: string): string {
  const [broken] = errorsIn(bundle)
  if (broken === undefined) return writeJson(bundle)
  throw new OwnFault(`the bundle of ${what} breaks ${broken.rule ?? broken.code} at ${broken.at}`)
}
