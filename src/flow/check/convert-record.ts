import type { Observation } from 'fhir/r4.js'
import { frozen } from '../../core/basics/frozen.ts'
import type { Issue } from '../../core/basics/issue.ts'
import { isNonEmpty, ok, type Result, refused } from '../../core/basics/result.ts'
import type { ConversionContext } from '../../core/fhir/conversion-context.ts'
import { sessionObservations } from '../../core/fhir/session/session-observations.ts'
import { DEFAULT_JSON_LIMITS, readJson } from '../../core/json-text/read-json.ts'
import { errorsIn } from '../../core/validation/validate-resource.ts'
import { type CheckedRecord, type RecordContext, readRecord } from './read-record.ts'

/** A record that passed: the session in it, what was noticed, and the valid Observations it becomes. */
export interface Converted extends CheckedRecord {
  readonly observations: readonly Observation[]
}

/** Takes one parsed record through read, check, convert and validate. Pure: keeps and sends nothing. */
export function convertRecord(value: unknown, context: RecordContext): Result<Converted> {
  const read = readRecord(value, context)
  if (!read.ok) return read
  const { observations, errors } = convertChecked(read.value, context)
  return isNonEmpty(errors) ? refused(errors) : ok({ ...read.value, observations })
}

/** As `convertRecord`, from the JSON text of the record. */
export function convertText(text: string, context: RecordContext): Result<Converted> {
  const value = readJson(text, DEFAULT_JSON_LIMITS)
  return value.ok ? convertRecord(value.value, context) : value
}

/** The Observations of a session that was read and checked, and what is wrong with them. */
export function convertChecked(
  record: CheckedRecord,
  context: RecordContext,
): { readonly observations: readonly Observation[]; readonly errors: readonly Issue[] } {
  const observations = sessionObservations(record.session, record.findings, submitted(record, context))
  return { observations, errors: observations.flatMap(errorsIn) }
}

/** Before any clinic is known the subject goes by the source's own id, and everything is written in its fullest form. */
function submitted(
  { uuid, session }: CheckedRecord,
  { source, canonicalBase }: RecordContext,
): ConversionContext {
  return {
    source,
    sessionUuid: uuid,
    canonicalBase,
    // Frozen, so that what twelve places of a session share is validated once.
    subject: frozen({
      type: 'Patient',
      identifier: { system: `${canonicalBase}/subject/${source}`, value: session.subject },
    }),
    positionAs: 'component-and-extension',
    snomed: false,
    withIds: true,
  }
}
