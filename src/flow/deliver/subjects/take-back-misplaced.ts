import { writeVerdict } from '../../../core/exchange/answered/write-verdict.ts'
import { versionedUpdate } from '../../../core/exchange/asked/write-request.ts'
import type { Errand, Means } from '../errand/course.ts'
import { findCurrent } from '../looks/find-current.ts'
import { mayUpdate, sendableResources } from '../looks/sendable-resources.ts'
import { enteredInError, stands } from '../writes/entered-in-error.ts'
import { whoseRecord } from './whose-record.ts'

/**
 * Enters in error what a delivery put into another record than the patient's, or into none, and could not be brought over
 * just now: until it is, nobody is to read it there. What was brought over stands. One try; where the server takes no
 * update, or not now, it stays as it is, and the audit trail names it.
 */
export async function takeBackMisplaced(errand: Errand, by: Means): Promise<void> {
  const placed = sendableResources(errand).resources.filter(
    (sent) =>
      sent.type === 'Observation' && mayUpdate(errand, sent) && by.ledger.get(sent.uuid) !== undefined,
  )
  for (const sent of placed) {
    const current = await findCurrent(sent, errand, by)
    if (current.kind !== 'found' || !stands(current.match)) continue
    if ((await whoseRecord(sent, errand, by)) === 'theirs') continue
    const { sent: inError, match } = enteredInError(sent, current.match)
    const answer = await by.write(versionedUpdate(inError, match.place, match.resource))
    const verdict = writeVerdict(answer, 'update')
    if (verdict.kind === 'done') by.ledger.addAt(sent, verdict.outcomes[0]?.place ?? match.place)
  }
}
