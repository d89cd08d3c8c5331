import { actorText } from '../../core/audit/actor.ts'
import type { Instant } from '../../core/basics/instant.ts'
import { ok, type Result, refused } from '../../core/basics/result.ts'
import type { Origin, Prepared } from '../check/prepare-record.ts'
import { readStored } from '../check/read-stored.ts'
import type { Ports } from '../ports/ports.ts'
import { type Receipt, receiptOf } from './receipt.ts'
import { OTHER_SUBJECT, SESSION_WITHDRAWN } from './session-refusals.ts'

export interface Corrected {
  /** `kept`: the source had sent nothing under this id. `same`: this content is held already; nothing changed. */
  readonly kind: 'kept' | 'corrected' | 'same'
  readonly receipt: Receipt
}

/** Puts a record that passed in place of what its source said before under its id, with its audit row. */
export async function keepCorrection(
  { record, findings, enrolment }: Prepared,
  { source, key }: Origin,
  received: Instant,
  at: Ports,
): Promise<Result<Corrected>> {
  const { outcome, stored } = await at.store.correct(record, {
    at: received.text,
    actor: actorText(`source:${source}`, key),
    action: 'session-corrected',
    about: record.uuid,
    outcome: 'done',
    detail: { sha256: record.sha256 },
  })
  const enrolled = enrolment !== undefined
  switch (outcome) {
    case 'withdrawn':
      return refused([SESSION_WITHDRAWN])
    case 'other-subject':
      return refused([OTHER_SUBJECT])
    case 'same':
      return ok({
        kind: outcome,
        receipt: receiptOf(stored, readStored(stored, enrolment, at).findings, enrolled),
      })
    default:
      return ok({ kind: outcome, receipt: receiptOf(stored, findings, enrolled) })
  }
}
