import { instantOf } from '../core/basics/instant.ts'
import { ok, type Result, refused } from '../core/basics/result.ts'
import { DEFAULT_JSON_LIMITS, readJson, withoutByteOrderMark } from '../core/json-text/read-json.ts'
import { auditRefusals } from './audit-refusals.ts'
import type { Ports } from './ports.ts'
import { type Origin, prepareRecord, subjectOf } from './prepare-record.ts'
import { readStored } from './read-stored.ts'
import { type Receipt, receiptOf } from './receipt.ts'
import { OTHER_ID, OTHER_SUBJECT, SESSION_WITHDRAWN } from './session-refusals.ts'

export interface Corrected {
  /** `kept`: the source had sent nothing under this id. `same`: this content is held already; nothing changed. */
  readonly kind: 'kept' | 'corrected' | 'same'
  readonly receipt: Receipt
}

/**
 * Replaces what a source said under an id. The record passes all that a new one passes; the version before is kept,
 * and what rests on it, such as an average that was issued, is followed up by `follow-arrivals.ts`.
 *
 * @param text JSON text of the whole record as it should have been.
 * @param id the source's own id; the record must carry the same.
 */
export async function correctSession(
  text: string,
  id: string,
  origin: Origin,
  at: Ports,
): Promise<Result<Corrected>> {
  const received = instantOf(at.clock.now())
  const corrected = await correct(text, id, origin, at)
  if (!corrected.ok) await auditRefusals([corrected.issues], origin, received, at)
  return corrected
}

async function correct(text: string, id: string, origin: Origin, at: Ports): Promise<Result<Corrected>> {
  const received = instantOf(at.clock.now())
  const value = readJson(text, DEFAULT_JSON_LIMITS)
  if (!value.ok) return value
  const subject = subjectOf(value.value)
  const [enrolment] = subject === '' ? [] : await at.store.enrolments(origin.source, [subject])
  const prepared = prepareRecord(value.value, withoutByteOrderMark(text), origin, enrolment, received, at)
  if (!prepared.ok) return prepared
  const { record, findings } = prepared.value
  if (record.id !== id) return refused([OTHER_ID])

  const { outcome, stored } = await at.store.correct(record, {
    at: received.text,
    actor: `source:${origin.source}`,
    action: 'session-corrected',
    about: record.uuid,
    outcome: 'done',
    detail: { sha256: record.sha256 },
  })
  switch (outcome) {
    case 'withdrawn':
      return refused([SESSION_WITHDRAWN])
    case 'other-subject':
      return refused([OTHER_SUBJECT])
    case 'same':
      return ok({
        kind: outcome,
        receipt: receiptOf(stored, readStored(stored, enrolment, at).findings, enrolment !== undefined),
      })
    default:
      return ok({ kind: outcome, receipt: receiptOf(stored, findings, enrolment !== undefined) })
  }
}
