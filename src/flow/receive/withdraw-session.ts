import { actorText } from '../../core/audit/actor.ts'
import { instantOf } from '../../core/basics/instant.ts'
import { inputError } from '../../core/basics/issue.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import { NO_FINDINGS } from '../../core/clinical/finding.ts'
import { sessionUuid } from '../../core/fhir/identifiers.ts'
import type { Origin } from '../check/prepare-record.ts'
import type { Ports } from '../ports/ports.ts'
import { type Receipt, receiptOf } from './receipt.ts'

/**
 * Takes a session back on its source's word. What it said stays on record, marked as withdrawn; its readings count for
 * nothing any more. Again changes nothing and gives the same receipt, which names no findings: nothing is made of the
 * readings, so nothing is said of them.
 *
 * @param id the source's own id.
 */
export async function withdrawSession(id: string, origin: Origin, at: Ports): Promise<Result<Receipt>> {
  const { source, key } = origin
  const received = instantOf(at.clock.now())
  const stored = await at.store.withdraw(source, id, received.text, {
    at: received.text,
    actor: actorText(`source:${source}`, key),
    action: 'session-withdrawn',
    about: sessionUuid(source, id),
    outcome: 'done',
    detail: {},
  })
  if (stored === undefined) {
    return refused([
      inputError('not-found', 'NOT_FOUND', 'path.id', 'the id of a session of this source', 'Check the id.'),
    ])
  }
  const [enrolment] = await at.store.enrolments(source, [stored.subject])
  return ok(receiptOf(stored, NO_FINDINGS, enrolment !== undefined))
}
