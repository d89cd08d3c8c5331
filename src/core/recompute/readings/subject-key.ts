import { isJsonObject } from '../../basics/json-object.ts'
import type { BundleScope } from '../bundle-scope.ts'
import { type Found, textOf } from '../found.ts'

/**
 * Whose a resource is, as text that two resources of one patient share: the place of the patient in the bundle, else
 * the reference as it stands, else the identifier. Undefined when it names nobody.
 */
export function subjectKey(resource: Found, scope: BundleScope): string | undefined {
  const { subject } = resource.value
  if (!isJsonObject(subject)) return undefined
  const patient = scope.resolve(subject, resource)
  if (patient !== undefined) return patient.at
  const { reference, identifier } = subject
  if (typeof reference === 'string') {
    const plain = reference.split('/_history/', 1)[0] ?? reference
    return /Patient\/[A-Za-z0-9\-.]{1,64}$/.exec(plain)?.[0] ?? plain
  }
  if (!isJsonObject(identifier) || typeof identifier.value !== 'string') return undefined
  return `${textOf(identifier.system) ?? ''}|${identifier.value}`
}
