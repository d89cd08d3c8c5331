import { ok, type Result } from '../../core/basics/result.ts'
import {
  type AttentionLimits,
  DEFAULT_ATTENTION_LIMITS,
} from '../../core/clinical/attention/attention-limits.ts'
import type { Finding } from '../../core/clinical/finding.ts'
import type { Session } from '../../core/clinical/session.ts'
import { sessionUuid } from '../../core/fhir/identifiers.ts'
import { readSession } from '../../core/record/read-session.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import { checkSession } from './check-session.ts'

/** What the check needs to know of a person beyond the record. */
export type KnownPerson = { readonly [Key in 'zone' | 'armCircumferenceCm']?: Enrolment[Key] }

/** What a record is read with. */
export interface RecordContext {
  readonly source: string
  readonly canonicalBase: string
  /** What is known of the person: an enrolment, or what a command line says. */
  readonly person: KnownPerson | undefined
  /** When the record arrived, epoch ms. */
  readonly receivedMs: number
  /** From where on readings ask for prompt attention; the defaults when absent. */
  readonly attention?: AttentionLimits
}

/** The session in a record, and what was noticed about it. */
export interface CheckedRecord {
  /** UUIDv5 of source and id. */
  readonly uuid: string
  readonly session: Session
  /** IANA zone a wall-clock time was resolved with, when one was. */
  readonly zone?: string
  readonly findings: readonly Finding[]
}

/** Takes one parsed record through read and check. */
export function readRecord(value: unknown, context: RecordContext): Result<CheckedRecord> {
  const { source, person, receivedMs } = context
  const read = readSession(value, person?.zone === undefined ? NO_ZONE : { zone: person.zone })
  if (!read.ok) return read
  const { session, zone } = read.value
  return ok({
    uuid: sessionUuid(source, session.id),
    session,
    ...(zone === undefined ? {} : { zone }),
    findings: checkSession(session, person, receivedMs, context.attention ?? DEFAULT_ATTENTION_LIMITS),
  })
}

const NO_ZONE = {}
