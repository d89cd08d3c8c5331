import { type Issue, inputError } from '../../core/basics/issue.ts'
import type { Withdrawal } from '../../core/mapping/apply/mapped-sitting.ts'
import type { Origin } from '../check/prepare-record.ts'
import { keptSession } from '../check/read-stored.ts'
import type { Ports } from '../ports/ports.ts'
import type { Receipt } from './receipt.ts'
import { OTHERS_LEFT } from './session-refusals.ts'
import { withdrawSession } from './withdraw-session.ts'

type Withdrawn =
  | { readonly kind: 'withdrawn'; readonly receipt: Receipt }
  | { readonly kind: 'refused'; readonly issues: readonly [Issue]; readonly conflict: boolean }

/**
 * Takes a session back because its source's own records say so. One that was never sent cannot be, and one that has more
 * readings than are taken back is left as it is: nobody said anything of the others.
 */
export async function withdrawMapped(withdrawal: Withdrawal, origin: Origin, at: Ports): Promise<Withdrawn> {
  const { id, readings } = withdrawal
  const stored = await at.store.session(origin.source, id)
  if (stored === undefined) return refusal(NEVER_SENT, withdrawal, false)
  if (!stored.withdrawn && keptSession(stored).readings.length > readings) {
    return refusal(OTHERS_LEFT, withdrawal, true)
  }
  const withdrawn = await withdrawSession(id, origin, at)
  if (!withdrawn.ok) throw new Error('a session that is held cannot be withdrawn')
  return { kind: 'withdrawn', receipt: withdrawn.value }
}

const NEVER_SENT = inputError(
  'not-found',
  'NOT_FOUND',
  'id',
  'readings that this source sent before, as one sitting',
  'None needed where they never came; otherwise send them with all readings of their sitting.',
)

/** Told at the first record that takes something back. */
function refusal(issue: Issue, { mapping, sources }: Withdrawal, conflict: boolean): Withdrawn {
  const [{ line, path }] = sources
  const placed = {
    ...issue,
    ...(line === undefined ? {} : { line }),
    ...(path === undefined ? {} : { from: path }),
    mapping: `${mapping}.json`,
  }
  return { kind: 'refused', issues: [placed], conflict }
}
