import type { ErrorCode } from '../../../core/basics/error-codes.ts'
import { lookUpRequests, type Match, readLookUp } from '../../../core/exchange/asked/look-up.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'

export type LookedUpAll =
  | {
      readonly kind: 'found'
      /** Of what was asked for, what the server holds, by UUID: one each. */
      readonly matches: ReadonlyMap<string, Match>
      /** Devices and Provenances that cannot be searched for by what they carry, by UUID. */
      readonly unlooked: ReadonlySet<string>
    }
  | { readonly kind: 'cannot-look'; readonly problem: ErrorCode }
  | Ending

/**
 * Looks for resources by our identifiers, in few searches. What is found once is remembered as held, where that is
 * wanted; what is found twice ends the course, because nobody can tell which of them is the one.
 */
export async function lookUpResources(
  resources: readonly SentResource[],
  { choice }: Errand,
  by: Means,
): Promise<LookedUpAll> {
  const matches = new Map<string, Match>()
  const unlooked = new Set<string>()
  if (resources.length === 0) return { kind: 'found', matches, unlooked }
  if (!choice.canLook) return { kind: 'cannot-look', problem: 'CLINIC_SEARCH_UNRELIABLE' }
  for (const { request, asked } of lookUpRequests(resources)) {
    const looked = readLookUp(await by.ask(request), asked)
    if (looked.kind === 'cannot-look' && asked.every(({ type }) => type !== 'Observation')) {
      for (const { uuid } of asked) unlooked.add(uuid)
      continue
    }
    if (looked.kind !== 'found') return looked
    for (const { uuid } of asked) {
      const [match, second] = looked.matches.get(uuid) ?? []
      if (second !== undefined) return { kind: 'refused', problem: 'CLINIC_DUPLICATES' }
      if (match !== undefined) matches.set(uuid, match)
    }
  }
  return { kind: 'found', matches, unlooked }
}

/** Remembers what was found as held. */
export function keepMatches(
  resources: readonly SentResource[],
  matches: ReadonlyMap<string, Match>,
  by: Means,
): void {
  for (const sent of resources) {
    const place = matches.get(sent.uuid)?.place
    if (place !== undefined) by.ledger.addAt(sent, place)
  }
}
