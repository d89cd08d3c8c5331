import type { WriteOutcome } from '../../../core/exchange/answered/write-verdict.ts'
import type { SentResource } from '../../../core/exchange/sent-resource.ts'
import type { Errand, Means } from '../errand/course.ts'
import { lookUpResources } from '../looks/look-up-resources.ts'

/**
 * What counts as done of a transaction that failed in part, by an answer that says so entry by entry. Its server may have
 * run it as a batch, and holds what it says it made; or it took everything back, and holds nothing of it. So what it says
 * is looked for, and believed when it is found, or was known as held before.
 *
 * What is not found, or cannot be looked for, is written again: its condition keeps it from being made twice, while nothing
 * would ever bring what was believed and is not there. It is in doubt until then, for a way without conditions.
 *
 * @param said in the order of what was written, undefined for what failed.
 * @returns the same without what is not believed, each where it was found.
 */
export async function seenOutcomes(
  written: readonly SentResource[],
  said: readonly (WriteOutcome | undefined)[],
  errand: Errand,
  by: Means,
): Promise<readonly (WriteOutcome | undefined)[]> {
  const done = written.filter((_, index) => said[index] !== undefined)
  await by.ledger.load(done.map(({ uuid }) => uuid))
  const unknown = done.filter(({ uuid }) => by.ledger.get(uuid) === undefined)
  // Before anything is asked: the question may not even leave.
  by.ledger.doubt(unknown.map(({ uuid }) => uuid))
  const looked = await lookUpResources(done, errand, by)
  return written.map(({ uuid }, index) => {
    const outcome = said[index]
    if (outcome === undefined) return undefined
    if (looked.kind !== 'found' || looked.unlooked.has(uuid)) {
      return by.ledger.get(uuid) === undefined ? undefined : outcome
    }
    const match = looked.matches.get(uuid)
    return match && { what: outcome.what, place: match.place }
  })
}
