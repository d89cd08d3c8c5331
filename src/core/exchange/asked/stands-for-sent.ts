import { readInstant } from '../../basics/instant.ts'
import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import type { AnsweredResource } from '../answered/answer-body.ts'
import type { SentResource } from '../sent-resource.ts'
import { carries } from './look-up.ts'

/**
 * Whether what stands under an id that a server chose is what we brought there. It is when it carries our identifier or tag;
 * and where a clinic put its own in place of ours, when it is of the same type, code and time, and of nothing else of ours.
 * A server that was replaced or set back gives the same ids to others.
 */
export function standsForSent(standing: AnsweredResource, sent: SentResource): boolean {
  const { type, key, resource } = sent
  if (standing.resourceType !== type) return false
  if (carries(standing, key)) return true
  if (resource.resourceType !== 'Observation') return false
  const isOtherOfOurs = objectsOf(standing.identifier).some(({ system }) => system === key.system)
  return !isOtherOfOurs && sharesCode(standing.code, resource.code) && isSameTime(standing, resource)
}

function sharesCode(one: unknown, other: object): boolean {
  const codes = (concept: unknown) =>
    isJsonObject(concept) ? objectsOf(concept.coding).map(({ system, code }) => `${system}|${code}`) : []
  const known = new Set(codes(other))
  return codes(one).some((code) => known.has(code))
}

/** The moments themselves: servers write them with other offsets, and leave nothing of a second away. */
function isSameTime(one: object, other: object): boolean {
  const [from, to] = timesOf(one)
  const [otherFrom, otherTo] = timesOf(other)
  return from !== undefined && from === otherFrom && to === otherTo
}

function timesOf(resource: object): readonly (number | undefined)[] {
  const { effectiveDateTime, effectivePeriod } = resource as Readonly<Record<string, unknown>>
  const { start, end } = isJsonObject(effectivePeriod)
    ? effectivePeriod
    : { start: effectiveDateTime, end: undefined }
  return [start, end].map((text) => (typeof text === 'string' ? readInstant(text)?.epochMs : undefined))
}
