import { type Instant, instantOf } from '../core/basics/instant.ts'
import type { Issue } from '../core/basics/issue.ts'
import type { NonEmpty, Result } from '../core/basics/result.ts'
import { DEFAULT_JSON_LIMITS, readJson, withoutByteOrderMark } from '../core/json-text/read-json.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import { auditRefusals } from './audit-refusals.ts'
import type { Acceptance, Ports, StoredSession } from './ports.ts'
import { type Origin, type Prepared, prepareRecord, subjectOf } from './prepare-record.ts'
import { readStored } from './read-stored.ts'
import { type Receipt, receiptOf } from './receipt.ts'
import { OTHER_CONTENT, SESSION_WITHDRAWN } from './session-refusals.ts'

/** One record as it came in. */
export interface Incoming {
  /** JSON text of one record. */
  readonly text: string
  /** 1-based line of a stream, named in issues. */
  readonly line?: number
}

export type Outcome =
  | { readonly kind: 'kept' | 'same'; readonly receipt: Receipt }
  | {
      readonly kind: 'refused'
      readonly issues: NonEmpty<Issue>
      /** The id is taken by other content. */
      readonly conflict: boolean
    }

/**
 * Receives records of one source: each is read, checked, converted and validated, and all that pass are kept in one
 * durable commit before this resolves. One outcome per record, in order; a refused record does not hold up the rest.
 */
export async function receiveSessions(
  incoming: readonly Incoming[],
  origin: Origin,
  at: Ports,
): Promise<readonly Outcome[]> {
  const received = instantOf(at.clock.now())
  const prepared = await prepareAll(incoming, origin, received, at)
  const records = prepared.flatMap((one) => (one.ok ? [one.value.record] : []))
  const acceptances = records.length === 0 ? [] : await at.store.accept(records)
  let next = 0
  const outcomes = prepared.map((one, index) =>
    outcomeOf(one, one.ok ? acceptances[next++] : undefined, incoming[index]?.line, at),
  )
  const refusals = outcomes.flatMap((outcome) => (outcome.kind === 'refused' ? [outcome.issues] : []))
  await auditRefusals(refusals, origin, received, at)
  return outcomes
}

/** Everything up to keeping. A function of its own, so that parsed records are let go before the store is waited for. */
async function prepareAll(
  incoming: readonly Incoming[],
  origin: Origin,
  received: Instant,
  at: Ports,
): Promise<readonly Result<Prepared>[]> {
  const parsed = incoming.map(({ text }) => ({ text, value: readJson(text, DEFAULT_JSON_LIMITS) }))
  const enrolments = await enrolmentsOf(parsed, origin, at)
  return parsed.map(({ text, value }) => {
    if (!value.ok) return value
    const enrolment = enrolments.get(subjectOf(value.value))
    return prepareRecord(value.value, withoutByteOrderMark(text), origin, enrolment, received, at)
  })
}

function outcomeOf(
  one: Result<Prepared>,
  acceptance: Acceptance | undefined,
  line: number | undefined,
  at: Ports,
): Outcome {
  if (!one.ok) return { kind: 'refused', issues: onLine(one.issues, line), conflict: false }
  if (acceptance === undefined) throw new Error('the store gave no answer for a record')
  if (acceptance.outcome === 'other')
    return { kind: 'refused', issues: onLine([conflictWith(acceptance.stored)], line), conflict: true }
  const { enrolment } = one.value
  // What was noticed can depend on when a record came: for one that is held, it is what was noticed then.
  const findings =
    acceptance.outcome === 'kept' ? one.value.findings : readStored(acceptance.stored, enrolment, at).findings
  const receipt = receiptOf(acceptance.stored, findings, enrolment !== undefined)
  return { kind: acceptance.outcome, receipt }
}

async function enrolmentsOf(
  parsed: readonly { readonly value: Result<unknown> }[],
  origin: Origin,
  at: Ports,
): Promise<ReadonlyMap<string, Enrolment>> {
  const subjects = new Set<string>()
  for (const { value } of parsed) if (value.ok) subjects.add(subjectOf(value.value))
  subjects.delete('')
  const found = new Map<string, Enrolment>()
  if (subjects.size === 0) return found
  for (const enrolment of await at.store.enrolments(origin.source, [...subjects])) {
    if (enrolment !== undefined) found.set(enrolment.subject, enrolment)
  }
  return found
}

function onLine(issues: NonEmpty<Issue>, line: number | undefined): NonEmpty<Issue> {
  if (line === undefined) return issues
  const [first, ...rest] = issues
  return [{ ...first, line }, ...rest.map((issue) => ({ ...issue, line }))]
}

function conflictWith({ withdrawn }: StoredSession): Issue {
  return withdrawn ? SESSION_WITHDRAWN : OTHER_CONTENT
}
