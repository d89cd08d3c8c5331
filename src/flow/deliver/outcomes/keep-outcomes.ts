import { groupedBy } from '../../../core/basics/grouped-by.ts'
import type { WriteOutcome } from '../../../core/exchange/answered/write-verdict.ts'
import type { OutlinedEntry } from '../../../core/exchange/asked/bundle-outline.ts'
import type { Ending, Errand, Means } from '../errand/course.ts'
import { sendableResources } from '../looks/sendable-resources.ts'
import { isDouble, sawDouble } from './double-made.ts'
import { canBeTold, matchedAnother } from './matched-another.ts'
import { notToBeTrusted } from './not-to-be-trusted.ts'

/** An entry of a transaction that was done. */
export interface WrittenEntry extends Pick<OutlinedEntry, 'type' | 'intent'> {
  readonly uuid: string
}

/**
 * Remembers what was made of a transaction, be it all or, as in a batch, some, and notices when the server made what was
 * there: it may have changed its ways since the proof. Where it found something there it keeps to its ways. What is made
 * is kept at once until there is a proof, for the next delivery may come to rely on it.
 *
 * @param byReference whether the patient was named by the conditional reference.
 * @returns undefined unless it named another resource as the one that was there: what it found is not remembered then, and
 * its conditions are not relied on any more.
 */
export async function keepOutcomes(
  written: readonly WrittenEntry[],
  outcomes: readonly (WriteOutcome | undefined)[],
  errand: Errand,
  by: Means,
  { byReference }: { readonly byReference: boolean },
): Promise<Ending | undefined> {
  const made = written.flatMap((sent, index) => {
    const outcome = outcomes[index]
    return outcome === undefined ? [] : [{ ...sent, ...outcome }]
  })
  const creates = made.filter(({ intent }) => intent === 'create')
  const mistaken = await takenForAnother(creates, errand, by)
  const suspects = creates.some(({ what }) => what === 'already-there')
    ? []
    : creates.filter(
        ({ what, type }) => what === 'created' && (type === 'Device' || errand.entry.kind === 'average'),
      )
  await by.ledger.load(suspects.map(({ uuid }) => uuid))
  const again = suspects.find(({ uuid }) => by.ledger.get(uuid) !== undefined)
  const isAgain = again !== undefined && (await isDouble(again.uuid, again.place, errand, by))
  if (isAgain) await sawDouble(again.place, by)
  for (const { uuid, type, place, what } of made) {
    if (byReference && what !== 'already-there') by.ledger.wroteByReference(uuid)
    if (mistaken.has(uuid) || (isAgain && by.ledger.get(uuid) !== undefined)) continue
    by.ledger.addAt({ uuid, type }, place)
  }
  if (by.conditions() === undefined) await by.ledger.keep()
  if (mistaken.size === 0) return undefined
  // It may refer to what was taken for another.
  by.ledger.doubt(made.flatMap(({ uuid, what }) => (what === 'created' ? [uuid] : [])))
  await by.sawConditions({ seen: 'passed-over' })
  return notToBeTrusted(errand)
}

type Made = WrittenEntry & WriteOutcome

/**
 * Of what was not known to be held and is said to be there, all of the types of which one is another resource. One of each
 * type is looked at: a server that passes over a parameter does so for all of the type.
 */
async function takenForAnother(
  creates: readonly Made[],
  errand: Errand,
  by: Means,
): Promise<ReadonlySet<string>> {
  const found = creates.filter(({ what }) => what === 'already-there')
  await by.ledger.load(found.map(({ uuid }) => uuid))
  const unknown = found.filter(({ uuid }) => by.ledger.get(uuid) === undefined)
  const mistaken = new Set<string>()
  for (const [, ofType] of groupedBy(unknown, ({ type }) => type)) {
    if (await isAnother(ofType, errand, by)) for (const { uuid } of ofType) mistaken.add(uuid)
  }
  return mistaken
}

async function isAnother(ofType: readonly Made[], errand: Errand, by: Means): Promise<boolean> {
  const ids = ofType.flatMap(({ place }) => (place === undefined ? [] : [place.id]))
  if (new Set(ids).size < ids.length) return true
  const shown = ofType.find(({ place }) => place !== undefined) ?? ofType[0]
  if (shown === undefined || !canBeTold(shown, errand)) return false
  const sent = sendableResources(errand).keys.get(shown.uuid)
  return sent !== undefined && matchedAnother(sent, shown.place, errand, by)
}
