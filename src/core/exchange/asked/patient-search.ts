import type { ErrorCode } from '../../basics/error-codes.ts'
import { isJsonObject, objectsOf } from '../../basics/json-object.ts'
import { uuidV5 } from '../../basics/uuid-v5.ts'
import { NAMESPACE } from '../../fhir/identifiers.ts'
import type { AnswerBody, AnsweredResource } from '../answered/answer-body.ts'
import { ownPlaceOf } from '../answered/location.ts'
import { readFailure } from '../answered/read-failure.ts'
import type { FhirAnswer, FhirRequest } from '../fhir-exchange.ts'
import { carries } from './look-up.ts'
import { condition, tokenText } from './token-query.ts'

export interface PatientIdentifier {
  readonly system: string
  readonly value: string
}

/**
 * The search for the clinic's patient: as `POST Patient/_search`, so that the identifier stands in no address, or as a GET.
 * Source: FHIR R4 4.0.1 http.html, search.
 */
export function patientSearch({ system, value }: PatientIdentifier, as: 'post' | 'get'): FhirRequest {
  const identifier = tokenText(system, value)
  return as === 'get'
    ? { method: 'GET', path: `Patient?identifier=${encodeURIComponent(identifier)}` }
    : {
        method: 'POST',
        path: 'Patient/_search',
        body: new URLSearchParams({ identifier }).toString(),
        bodyType: 'application/x-www-form-urlencoded',
      }
}

export type FoundPatient =
  | { readonly kind: 'one'; readonly id: string }
  /** `replaced`: every match says it was merged into another record (`link` replaced-by). */
  | { readonly kind: 'none' | 'several' | 'replaced' }
  /** This form of search is not offered, or cannot be believed: try the other one. */
  | { readonly kind: 'not-offered' }
  | { readonly kind: 'not-now'; readonly problem: ErrorCode; readonly retryAfterMs?: number }
  | { readonly kind: 'stop'; readonly problem: ErrorCode }

/**
 * Only a Patient that carries the very identifier counts. An answer with others in it, or that says it is not all, is
 * believed in nothing: the wrong patient is worse than none.
 *
 * Of records that were merged the one that the others were replaced by is the patient.
 * Source: FHIR R4 4.0.1 patient.html, linking patients: a record that is replaced must no longer be used.
 */
export function readPatientSearch(answer: FhirAnswer, patient: PatientIdentifier): FoundPatient {
  if (answer.kind === 'heard' && answer.status === 200 && answer.body.kind === 'searchset') {
    return patientAmong(answer.body, patient)
  }
  return readFailure(answer)
}

function patientAmong(
  { resources, more }: AnswerBody & { readonly kind: 'searchset' },
  patient: PatientIdentifier,
): FoundPatient {
  if (more) return { kind: 'not-offered' }
  const standing = new Set<string>()
  const replacedBy: (readonly string[])[] = []
  for (const resource of resources) {
    const id = ownPlaceOf(resource)?.id
    if (id === undefined || !isPatient(resource, patient)) return { kind: 'not-offered' }
    const successors = successorsOf(resource)
    if (successors.length === 0) standing.add(id)
    else replacedBy.push(successors)
  }
  const [only, second] = standing
  if (only === undefined) return { kind: replacedBy.length === 0 ? 'none' : 'replaced' }
  const isSuccessor = replacedBy.every((successors) => successors.some((one) => endsWithPatient(one, only)))
  return second === undefined && isSuccessor ? { kind: 'one', id: only } : { kind: 'several' }
}

/** Whether a resource is the Patient who has the identifier, in the very characters. */
export function isPatient(resource: AnsweredResource, { system, value }: PatientIdentifier): boolean {
  return resource.resourceType === 'Patient' && carries(resource, { parameter: 'identifier', system, value })
}

/**
 * Whether a record that a server put in place of the identifier is the patient's: it is where it carries it, and not where
 * it carries others alone. Undefined where it shows no identifier, or the same value by another name of its system, or but
 * for case and white space, which a server may pass over.
 * Source: FHIR R4 4.0.1 search.html#token, case sensitivity.
 */
export function isRecordOf(resource: AnsweredResource, patient: PatientIdentifier): boolean | undefined {
  if (isPatient(resource, patient)) return true
  const values = objectsOf(resource.identifier).flatMap(({ value }) =>
    typeof value === 'string' ? [withoutCase(value)] : [],
  )
  const isShown = values.includes(withoutCase(patient.value))
  const isOther = resource.resourceType === 'Patient' && values.length > 0 && !isShown
  return isOther ? false : undefined
}

function withoutCase(value: string): string {
  return value.replace(/\s+/g, '').toLowerCase()
}

/** A system, and a value, that no clinic uses: a UUID of our own namespace that names nobody. */
const NOBODYS = `urn:uuid:${uuidV5(NAMESPACE, 'probe/nobody')}`

/**
 * Identifiers that nobody has: the patient's value in a system of nobody's, and a value of nobody's in the patient's system.
 * A server whose search finds somebody by one of them passes over a part of what it is asked for, or all of it.
 */
export function identifiersOfNobody({ system, value }: PatientIdentifier): readonly PatientIdentifier[] {
  return [
    { system: NOBODYS, value },
    { system, value: NOBODYS },
  ]
}

/** References to the records that a record was replaced by; an empty text where a link names none. */
function successorsOf(resource: AnsweredResource): readonly string[] {
  return objectsOf(resource.link)
    .filter(({ type }) => type === 'replaced-by')
    .map(({ other }) => (isJsonObject(other) && typeof other.reference === 'string' ? other.reference : ''))
}

/** Whether a Patient is the record with an id, or says that it was replaced by it. */
export function leadsToRecord(patient: AnsweredResource, id: string): boolean {
  return ownPlaceOf(patient)?.id === id || successorsOf(patient).some((one) => endsWithPatient(one, id))
}

function endsWithPatient(reference: string, id: string): boolean {
  return `/${reference}`.replace(/\/_history\/.*$/, '').endsWith(`/Patient/${id}`)
}

/** A Patient with nothing but the identifier, as a conditional create. Only for destinations that say so. */
export function createPatient({ system, value }: PatientIdentifier): FhirRequest {
  return {
    method: 'POST',
    path: 'Patient',
    body: JSON.stringify({ resourceType: 'Patient', identifier: [{ system, value }] }),
    ifNoneExist: condition('identifier', system, value),
    prefer: 'minimal',
  }
}
