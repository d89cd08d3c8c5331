import type { JsonObject } from '../../basics/json-object.ts'
import { literalType } from '../elements/reference-target.ts'

/**
 * The type a reference shows in its URL, that of the resource where it is at hand, or the one it says: where these
 * contradict, the walk of the elements and the references have said so.
 */
export function shownType({ type, reference }: JsonObject, target?: JsonObject): string | undefined {
  const ofUrl = typeof reference === 'string' ? literalType(reference) : undefined
  if (ofUrl !== undefined) return ofUrl
  if (typeof target?.resourceType === 'string') return target.resourceType
  return typeof type === 'string' ? type : undefined
}
