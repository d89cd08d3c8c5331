import { type Instant, instantOf } from '../../core/basics/instant.ts'
import type { Issue } from '../../core/basics/issue.ts'
import type { NonEmpty, Result } from '../../core/basics/result.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { type Origin, type Prepared, prepareRecord, subjectOf } from '../check/prepare-record.ts'
import { keptSession, readStored } from '../check/read-stored.ts'
import type { Acceptance, Ports } from '../ports/ports.ts'
import { auditRefusals } from './audit-refusals.ts'
import {
  type Incoming,
  type OpenedRecord,
  openRecord,
  type SkippedRecord,
  type WithdrawalRecord,
} from './incoming.ts'
import { keepCorrection } from './keep-correction.ts'
import { type Receipt, receiptOf } from './receipt.ts'
import { OTHER_CONTENT, OTHERS_LEFT, SESSION_WITHDRAWN } from './session-refusals.ts'
import { withdrawMapped } from './withdraw-mapped.ts'

export type Outcome =
  | { readonly kind: 'kept' | 'same' | 'corrected' | 'withdrawn'; readonly receipt: Receipt }
  | {
      readonly kind: 'refused'
      readonly issues: NonEmpty<Issue>
      /** The id is taken by other content. */
      readonly conflict: boolean
    }
  | { readonly kind: 'skipped'; readonly because: string }

/**
 * Receives records of one source: each is read, checked, converted and validated, and all that pass are kept in one
 * durable commit before this resolves. One outcome per record, in order; a refused record does not hold up the rest.
 * A record that corrects is put in place of the content its id was taken by, and a session that is taken back is
 * withdrawn, each in a commit of its own, in its turn after those.
 */
export async function receiveSessions(
  incoming: readonly Incoming[],
  origin: Origin,
  at: Ports,
): Promise<readonly Outcome[]> {
  const received = instantOf(at.clock.now())
  const prepared = await prepareAll(incoming, origin, received, at)
  const records = prepared.flatMap((one) =>
    'result' in one && one.result.ok ? [one.result.value.record] : [],
  )
  const acceptances = records.length === 0 ? [] : await at.store.accept(records)
  let next = 0
  const outcomes: Outcome[] = []
  for (const one of prepared) {
    if ('skipped' in one) {
      outcomes.push({ kind: 'skipped', because: one.skipped })
      continue
    }
    if ('withdrawal' in one) {
      outcomes.push(await withdrawMapped(one.withdrawal, origin, at))
      continue
    }
    const acceptance = one.result.ok ? acceptances[next++] : undefined
    const isCorrection = one.corrects && acceptance?.outcome === 'other'
    outcomes.push(isCorrection ? await corrected(one, origin, received, at) : outcomeOf(one, acceptance, at))
  }
  const refusals = outcomes.flatMap((outcome) => (outcome.kind === 'refused' ? [outcome.issues] : []))
  await auditRefusals(refusals, origin, received, at)
  return outcomes
}

/** A record after everything up to keeping. */
interface PreparedRecord extends Pick<OpenedRecord, 'corrects' | 'speaksOf' | 'atItsSource'> {
  readonly result: Result<Prepared>
}

/** Everything up to keeping. A function of its own, so that parsed records are let go before the store is waited for. */
async function prepareAll(
  incoming: readonly Incoming[],
  origin: Origin,
  received: Instant,
  at: Ports,
): Promise<readonly (PreparedRecord | SkippedRecord | WithdrawalRecord)[]> {
  const opened = incoming.map((one) => ('skipped' in one || 'withdrawal' in one ? one : openRecord(one)))
  const enrolments = await enrolmentsOf(opened, origin, at)
  return opened.map((one) => {
    if ('skipped' in one || 'withdrawal' in one) return one
    const { value, corrects, speaksOf, atItsSource } = one
    if (!value.ok) return { result: value, corrects, speaksOf, atItsSource }
    const enrolment = enrolments.get(subjectOf(value.value))
    const result = prepareRecord(value.value, one, origin, enrolment, received, at)
    return { result, corrects, speaksOf, atItsSource }
  })
}

function outcomeOf(
  { result, atItsSource }: PreparedRecord,
  acceptance: Acceptance | undefined,
  at: Ports,
): Outcome {
  if (!result.ok) return { kind: 'refused', issues: atItsSource(result.issues), conflict: false }
  if (acceptance === undefined) throw new Error('the store gave no answer for a record')
  const { outcome, stored } = acceptance
  if (outcome === 'other') {
    const issue = stored.withdrawn ? SESSION_WITHDRAWN : OTHER_CONTENT
    return { kind: 'refused', issues: atItsSource([issue]), conflict: true }
  }
  const { enrolment } = result.value
  // What was noticed can depend on when a record came: for one that is held, it is what was noticed then.
  const findings = outcome === 'kept' ? result.value.findings : readStored(stored, enrolment, at).findings
  return { kind: outcome, receipt: receiptOf(stored, findings, enrolment !== undefined) }
}

async function corrected(
  { result, speaksOf, atItsSource }: PreparedRecord,
  origin: Origin,
  received: Instant,
  at: Ports,
): Promise<Outcome> {
  if (!result.ok) throw new Error('a record that was refused corrects nothing')
  const held = await at.store.session(origin.source, result.value.record.id)
  if (held?.withdrawn === false && keptSession(held).readings.length > speaksOf) {
    return { kind: 'refused', issues: atItsSource([OTHERS_LEFT]), conflict: true }
  }
  const kept = await keepCorrection(result.value, origin, received, at)
  return kept.ok ? kept.value : { kind: 'refused', issues: atItsSource(kept.issues), conflict: true }
}

async function enrolmentsOf(
  opened: readonly (OpenedRecord | SkippedRecord | WithdrawalRecord)[],
  origin: Origin,
  at: Ports,
): Promise<ReadonlyMap<string, Enrolment>> {
  const subjects = new Set<string>()
  for (const one of opened) if ('value' in one && one.value.ok) subjects.add(subjectOf(one.value.value))
  subjects.delete('')
  const found = new Map<string, Enrolment>()
  if (subjects.size === 0) return found
  for (const enrolment of await at.store.enrolments(origin.source, [...subjects])) {
    if (enrolment !== undefined) found.set(enrolment.subject, enrolment)
  }
  return found
}
