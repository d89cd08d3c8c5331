import { type Instant, instantOf } from '../../core/basics/instant.ts'
import { type Result, refused } from '../../core/basics/result.ts'
import { type Origin, prepareRecord, subjectOf } from '../check/prepare-record.ts'
import type { Ports } from '../ports/ports.ts'
import { auditRefusals } from './audit-refusals.ts'
import { openRecord } from './incoming.ts'
import { type Corrected, keepCorrection } from './keep-correction.ts'
import { OTHER_ID } from './session-refusals.ts'

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
  const corrected = await correct(text, id, origin, received, at)
  if (!corrected.ok) await auditRefusals([corrected.issues], origin, received, at)
  return corrected
}

async function correct(
  text: string,
  id: string,
  origin: Origin,
  received: Instant,
  at: Ports,
): Promise<Result<Corrected>> {
  const opened = openRecord({ text })
  if (!opened.value.ok) return opened.value
  const subject = subjectOf(opened.value.value)
  const [enrolment] = subject === '' ? [] : await at.store.enrolments(origin.source, [subject])
  const prepared = prepareRecord(opened.value.value, opened, origin, enrolment, received, at)
  if (!prepared.ok) return prepared
  if (prepared.value.record.id !== id) return refused([OTHER_ID])
  return keepCorrection(prepared.value, origin, received, at)
}
