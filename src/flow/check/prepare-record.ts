import { hash } from 'node:crypto'
import type { Instant } from '../../core/basics/instant.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import { attentionCodesOf } from '../../core/clinical/attention/attention-finding.ts'
import type { Finding } from '../../core/clinical/finding.ts'
import type { Enrolment } from '../../core/registry/enrolment.ts'
import type { MappedFrom, Ports, SessionRecord } from '../ports/ports.ts'
import { proveConvertible } from './prove-convertible.ts'
import { readRecord } from './read-record.ts'

/** Who sent it. Established by the door, never taken from the record. */
export interface Origin {
  readonly source: string
  /** Id of the API key it came with; absent when it came without one. */
  readonly key?: string
}

/** What is to be kept of a record. */
export interface SentText {
  readonly text: string
  readonly mappedFrom?: MappedFrom | undefined
}

/** A record that passed, ready to be kept. */
export interface Prepared {
  readonly record: SessionRecord
  readonly findings: readonly Finding[]
  readonly enrolment: Enrolment | undefined
}

/**
 * Takes one parsed record through read, check, convert and validate.
 *
 * @param value the parsed record.
 * @param sent what is to be kept of it: the JSON text it was parsed from, and what that was mapped from.
 */
export function prepareRecord(
  value: unknown,
  { text, mappedFrom }: SentText,
  origin: Origin,
  enrolment: Enrolment | undefined,
  received: Instant,
  at: Ports,
): Result<Prepared> {
  const { source, key } = origin
  const { canonicalBase } = at.catalogue
  const context = {
    source,
    canonicalBase,
    person: enrolment,
    receivedMs: received.epochMs,
    attention: at.policy.attention,
  }
  const read = readRecord(value, context)
  if (!read.ok) return read
  const errors = proveConvertible(read.value, context)
  if (isNonEmpty(errors)) return refused(errors)

  const { uuid, session, zone, findings } = read.value
  const attention = attentionCodesOf(findings)
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
      ...(attention.length === 0 ? {} : { attention }),
      ...(mappedFrom === undefined ? {} : { mappedFrom }),
      ...(key === undefined ? {} : { key }),
    },
    findings,
    enrolment,
  })
}

/** The subject of a record not read yet, so that its time zone can be known before it is. Empty when it has none. */
export function subjectOf(value: unknown): string {
  if (typeof value !== 'object' || value === null || !('subject' in value)) return ''
  return typeof value.subject === 'string' ? value.subject : ''
}
