import type { Observation } from 'fhir/r4.js'
import { blocks, type Issue } from '../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../core/basics/result.ts'
import type { Finding } from '../core/clinical/finding.ts'
import type { Session } from '../core/clinical/session.ts'
import type { ConversionContext } from '../core/fhir/conversion-context.ts'
import { sessionUuid } from '../core/fhir/identifiers.ts'
import { sessionObservations } from '../core/fhir/session-observations.ts'
import { readSession } from '../core/mapping/read-session.ts'
import type { Enrolment } from '../core/registry/enrolment.ts'
import { validateResource } from '../core/validation/validate-resource.ts'
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
}

/** A record that passed: the session in it, what was noticed, and the valid Observations it becomes. */
export interface Converted {
  /** UUIDv5 of source and id. */
  readonly uuid: string
  readonly session: Session
  /** IANA zone a wall-clock time was resolved with, when one was. */
  readonly zone?: string
  readonly findings: readonly Finding[]
  readonly observations: readonly Observation[]
}

/** Takes one parsed record through read, check, convert and validate. Pure: keeps and sends nothing. */
export function convertRecord(value: unknown, context: RecordContext): Result<Converted> {
  const { person } = context
  const read = readSession(value, person?.zone === undefined ? NO_ZONE : { zone: person.zone })
  if (!read.ok) return read

  const { session, zone } = read.value
  const uuid = sessionUuid(context.source, session.id)
  const findings = checkSession(session, person, context.receivedMs)
  const observations = sessionObservations(session, findings, submitted(session, uuid, context))

  const issues: Issue[] = []
  for (const observation of observations) {
    for (const issue of validateResource(observation)) if (blocks(issue)) issues.push(issue)
  }
  if (isNonEmpty(issues)) return refused(issues)
  return ok({ uuid, session, ...(zone === undefined ? {} : { zone }), findings, observations })
}

const NO_ZONE = {}

/** Before any clinic is known the subject goes by the source's own id, and everything is written in its fullest form. */
function submitted(
  session: Session,
  uuid: string,
  { source, canonicalBase }: RecordContext,
): ConversionContext {
  return {
    source,
    sessionUuid: uuid,
    canonicalBase,
    subject: {
      type: 'Patient',
      identifier: { system: `${canonicalBase}/subject/${source}`, value: session.subject },
    },
    positionAs: 'component-and-extension',
    snomed: false,
    withIds: true,
  }
}
