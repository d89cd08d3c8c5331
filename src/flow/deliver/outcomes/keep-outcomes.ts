import type { WriteOutcome } from '../../../core/exchange/answered/write-verdict.ts'
import type { OutlinedEntry } from '../../../core/exchange/asked/bundle-outline.ts'
import type { Errand, Means } from '../errand/course.ts'
import { isDouble, sawDouble } from './double-made.ts'

/** An entry of a transaction that was done. */
export interface WrittenEntry extends Pick<OutlinedEntry, 'type' | 'intent'> {
  readonly uuid: string
}

/**
 * Remembers what was made of a transaction, be it all or, as in a batch, some, and notices when the server made what was
 * there: it may have changed its ways since the proof. Where it found something there it keeps to its ways. What is made
 * is kept at once until there is a proof, for the next delivery may come to rely on it.
 */
export async function keepOutcomes(
  written: readonly WrittenEntry[],
  outcomes: readonly (WriteOutcome | undefined)[],
  errand: Errand,
  by: Means,
): Promise<void> {
  const made = written.flatMap((sent, index) => {
    const outcome = outcomes[index]
    return outcome === undefined ? [] : [{ ...sent, ...outcome }]
  })
  const creates = made.filter(({ intent }) => intent === 'create')
  const suspects = creates.some(({ what }) => what === 'already-there')
    ? []
    : creates.filter(
        ({ what, type }) => what === 'created' && (type === 'Device' || errand.entry.kind === 'average'),
      )
  await by.ledger.load(suspects.map(({ uuid }) => uuid))
  const again = suspects.find(({ uuid }) => by.ledger.get(uuid) !== undefined)
  const isAgain = again !== undefined && (await isDouble(again.uuid, again.place, errand, by))
  if (isAgain) await sawDouble(again.place, by)
  for (const { uuid, type, place } of made) {
    if (isAgain && by.ledger.get(uuid) !== undefined) continue
    by.ledger.addAt({ uuid, type }, place)
  }
  if (by.conditions() === undefined) await by.ledger.keep()
}
