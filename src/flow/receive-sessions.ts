import { hash } from 'node:crypto'
import { type Instant, instantOf } from '../core/basics/instant.ts'
import { type Issue, inputError } from '../core/basics/issue.ts'
import { isNonEmpty, type NonEmpty, ok, type Result, refused } from '../core/basics/result.ts'
import type { Finding } from '../core/clinical/finding.ts'
import { DEFAULT_JSON_LIMITS, readJson, withoutByteOrderMark } from '../core/mapping/read-json.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import type { Acceptance, Ports, SessionRecord } from './ports.ts'
import { proveConvertible } from './prove-convertible.ts'
import { readRecord } from './read-record.ts'
import { readStored } from './read-stored.ts'

/** One record as it came in. */
export interface Incoming {
  /** JSON text of one record. */
  readonly text: string
  /** 1-based line of a stream, named in issues. */
  readonly line?: number
}

/** Who sent it. Established by the door, never taken from the record. */
export interface Origin {
  readonly source: string
}

/** Proof that a record is kept. Sending the same record again returns the same receipt. */
export interface Receipt {
  /** UUIDv5 of source and id. */
  readonly session: string
  readonly source: string
  readonly id: string
  /** SHA-256 of the JSON text as it was first received. */
  readonly sha256: string
  readonly receivedAt: string
  /** Whether the subject was linked to a clinic's patient when this answer was made. */
  readonly enrolled: boolean
  readonly findings: readonly Finding[]
}

export type Outcome =
  | { readonly kind: 'kept' | 'same'; readonly receipt: Receipt }
  | {
      readonly kind: 'refused'
      readonly issues: NonEmpty<Issue>
      /** The id is taken by other content. */
      readonly conflict: boolean
    }

interface Prepared {
  readonly record: SessionRecord
  readonly findings: readonly Finding[]
  readonly enrolment: Enrolment | undefined
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
    outcomeOf(one, one.ok ? acceptances[next++] : undefined, incoming[index]?.line),
  )
  await auditRefusals(outcomes, origin, received, at)
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
    return prepare(value.value, withoutByteOrderMark(text), origin, enrolment, received, at)
  })
}

function prepare(
  value: unknown,
  text: string,
  origin: Origin,
  enrolment: Enrolment | undefined,
  received: Instant,
  at: Ports,
): Result<Prepared> {
  const { source } = origin
  const { canonicalBase } = at.catalogue
  const context = { source, canonicalBase, person: enrolment, receivedMs: received.epochMs }
  const read = readRecord(value, context)
  if (!read.ok) return read
  const errors = proveConvertible(read.value, context)
  if (isNonEmpty(errors)) return refused(errors)

  const { uuid, session, zone, findings } = read.value
  return ok({
    record: {
      uuid,
      source,
      id: session.id,
      subject: session.subject,
      takenMs: session.takenAt.epochMs,
      raw: text,
      sha256: hash('sha256', text, 'hex'),
      receivedAt: received.text,
      ...(zone === undefined ? {} : { zone }),
    },
    findings,
    enrolment,
  })
}

function outcomeOf(
  one: Result<Prepared>,
  acceptance: Acceptance | undefined,
  line: number | undefined,
): Outcome {
  if (!one.ok) return { kind: 'refused', issues: onLine(one.issues, line), conflict: false }
  if (acceptance === undefined) throw new Error('the store gave no answer for a record')
  if (acceptance.outcome === 'other')
    return { kind: 'refused', issues: onLine([otherContent], line), conflict: true }
  const { uuid, source, id, sha256, receivedAt } = acceptance.stored
  const { enrolment } = one.value
  // What was noticed can depend on when a record came: for one that is held, it is what was noticed then.
  const findings =
    acceptance.outcome === 'kept' ? one.value.findings : readStored(acceptance.stored, enrolment).findings
  const enrolled = enrolment !== undefined
  return {
    kind: acceptance.outcome,
    receipt: { session: uuid, source, id, sha256, receivedAt, enrolled, findings },
  }
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

/** The subject of a record not read yet, so that its time zone can be known before it is. Empty when it has none. */
function subjectOf(value: unknown): string {
  if (typeof value !== 'object' || value === null || !('subject' in value)) return ''
  return typeof value.subject === 'string' ? value.subject : ''
}

/** One audit row for all refusals of a call: how many, and by which codes. */
async function auditRefusals(
  outcomes: readonly Outcome[],
  origin: Origin,
  received: Instant,
  at: Ports,
): Promise<void> {
  const codes = new Set<string>()
  let records = 0
  for (const outcome of outcomes) {
    if (outcome.kind !== 'refused') continue
    records += 1
    for (const issue of outcome.issues) codes.add(issue.code)
  }
  if (records === 0) return
  await at.store.recordAudit({
    at: received.text,
    actor: `source:${origin.source}`,
    action: 'session-refused',
    about: '',
    outcome: 'refused',
    detail: { records, codes: [...codes].sort().join(' ') },
  })
}

function onLine(issues: NonEmpty<Issue>, line: number | undefined): NonEmpty<Issue> {
  if (line === undefined) return issues
  const [first, ...rest] = issues
  return [{ ...first, line }, ...rest.map((issue) => ({ ...issue, line }))]
}

const otherContent = inputError(
  'conflict',
  'SAME_ID_OTHER_CONTENT',
  'id',
  'an id that this source has not used for other content',
  'Use a new id for a new sitting; the session already held is unchanged.',
)
